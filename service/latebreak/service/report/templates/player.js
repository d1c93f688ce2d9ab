"use strict";
// Plays what the hitter sees of every pitch: to his last look that counts, and, after a touch, to where it arrives.
// The page holds the still picture of both; here balls move, and what is not yet known stays hidden. Nothing leaves the page.
(function () {
  const byId = (id) => document.getElementById(id);
  const data = JSON.parse(byId("data").textContent);
  const film = byId("film"), go = byId("go"), slowly = byId("slowly"), said = byId("said");
  const calm = window.matchMedia("(prefers-reduced-motion: reduce)");
  const BEFORE = 700; // ms until it plays by itself: time to look at the picture

  // Linear interpolation of a column over the times of its table, held at both ends.
  function at(table, column, moment) {
    const times = table.time_ms, last = times.length - 1;
    if (!(moment > times[0])) return column[0];
    if (moment >= times[last]) return column[last];
    let low = 0, high = last;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (times[middle] <= moment) low = middle;
      else high = middle;
    }
    const share = (moment - times[low]) / (times[high] - times[low]);
    return column[low] + share * (column[high] - column[low]);
  }
  const end = (track) => track.time_ms[track.time_ms.length - 1];
  const place = (track, moment) => [
    (at(track, track.right_deg, moment) - data.eye.left) * data.eye.scale,
    (data.eye.top - at(track, track.up_deg, moment)) * data.eye.scale,
  ];

  const panels = [...film.querySelectorAll(".panel")].map((figure, number) => {
    const pitch = data.pitches[number];
    const ball = (kind, track) => {
      const group = figure.querySelector(`.eye .${kind}`);
      return { track, dot: group.querySelector(".ball"), trail: group.querySelector(".trail") };
    };
    return { figure, decides: pitch.decides_ms, arrives: end(pitch.thrown),
      balls: [ball("fastball", data.fastball), ball("own", pitch.thrown)] };
  });

  // Draw a panel's balls at a moment, ms after release; their trails end where he had his last look.
  function draw(panel, moment) {
    panel.figure.dataset.timeMs = moment;
    for (const { track, dot, trail } of panel.balls) {
      const [x, y] = place(track, moment);
      dot.setAttribute("cx", x);
      dot.setAttribute("cy", y);
      dot.setAttribute("r", at(track, track.radius_deg, moment) * data.eye.scale);
      const until = Math.min(moment, panel.decides);
      const points = track.time_ms.filter((t) => t < until).concat(until).map((t) => place(track, t).join());
      trail.setAttribute("points", points.join(" "));
    }
  }

  const WORDS = {
    waits: ["Play", ""],
    flies: ["Play again", ""],
    decides: ["Let it come", "He must decide by what he has seen."],
    comes: ["Play again", ""],
    arrived: ["Play again", ""],
  };
  let state = "", before = null, since = 0;

  function enter(next) {
    state = film.dataset.state = next;
    [go.textContent, said.textContent] = WORDS[next];
    if (next === "arrived") said.textContent = panels.map(({ figure }) =>
      `${figure.querySelector("figcaption .name").textContent}: ${figure.querySelector(".note.arrives").textContent}`).join(" ");
    if (next === "waits") panels.forEach((panel) => draw(panel, 0));
    if (next === "decides" || next === "arrived") panels.forEach((panel) => draw(panel, panel.decides));
    [before, since] = [null, 0];
    if (next === "flies" || next === "comes") requestAnimationFrame(tick);
  }

  function tick(now) {
    if (state !== "flies" && state !== "comes") return;
    since += Math.max(now - (before ?? now), 0) * (slowly.checked ? 0.1 : 1);
    before = now;
    let flying = false;
    for (const panel of panels) {
      const [from, to] = state === "flies" ? [0, panel.decides] : [panel.decides, panel.arrives];
      const moment = Math.min(from + since, to);
      draw(panel, moment);
      flying ||= moment < to;
    }
    if (flying) requestAnimationFrame(tick);
    else enter(state === "flies" ? "decides" : "arrived");
  }

  function touch() {
    if (state === "decides") enter(calm.matches ? "arrived" : "comes");
    else enter(calm.matches ? "decides" : "flies");
  }
  go.addEventListener("click", touch);
  film.querySelector(".panels").addEventListener("click", touch);

  // Once by itself, when somebody looks.
  function begin() {
    if (document.hidden) document.addEventListener("visibilitychange", begin, { once: true });
    else setTimeout(() => state === "waits" && enter("flies"), BEFORE);
  }
  // Paper shows both: his last look, and where it arrives.
  window.addEventListener("beforeprint", () => enter("arrived"));
  byId("controls").hidden = false;
  if (calm.matches) enter("decides");
  else {
    enter("waits");
    begin();
  }
})();
