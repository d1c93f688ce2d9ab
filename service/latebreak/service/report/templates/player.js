"use strict";
// Moves the balls of the hitter's view and the hitter's expectation at the plate, as the data of the page have them.
// All balls run on one clock, ms after release of each. Nothing moves by itself, nothing leaves the page.
(function () {
  const byId = (id) => document.getElementById(id);
  const film = JSON.parse(byId("film").textContent);
  const eye = byId("hitters-view"), plate = byId("plate-view");
  const play = byId("play"), speed = byId("speed"), stop = byId("stop-at-commit"), time = byId("time");
  const shownPitch = byId("shown-pitch"), shownFastball = byId("shown-fastball");
  const clock = byId("clock"), readout = byId("readout"), belief = byId("belief");
  const calm = window.matchMedia("(prefers-reduced-motion: reduce)");


  const ROOM = 17; // least distance between two labels, in units of the view box

  // ---- what is where ------------------------------------------------------------------------------------------------

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
  const frame = (svg, left, top) => ({
    scale: Number(svg.dataset.scale),
    left: Number(svg.dataset[left]),
    top: Number(svg.dataset[top]),
    width: svg.viewBox.baseVal.width,
    height: svg.viewBox.baseVal.height,
  });
  const seen = frame(eye, "right0", "up0"), home = frame(plate, "side0", "height0");
  const across = (view, value) => (value - view.left) * view.scale;
  const down = (view, value) => (view.top - value) * view.scale;

  // Where a ball of a track appears at a moment, in the view box.
  function place(track, moment) {
    return {
      x: across(seen, at(track, track.right_deg, moment)),
      y: down(seen, at(track, track.up_deg, moment)),
      r: seen.scale * at(track, track.radius_deg, moment),
    };
  }

  // Angle at the eye between the balls of two tracks, degrees (haversine: exact where it is small).
  function gap(one, other, moment) {
    const radians = Math.PI / 180;
    const [up, upOther] = [one, other].map((track) => radians * at(track, track.up_deg, moment));
    const [right, rightOther] = [one, other].map((track) => radians * at(track, track.right_deg, moment));
    const half = Math.sin((up - upOther) / 2) ** 2
      + Math.cos(up) * Math.cos(upOther) * Math.sin((right - rightOther) / 2) ** 2;
    return (2 * Math.asin(Math.sqrt(half))) / radians;
  }

  // ---- elements -----------------------------------------------------------------------------------------------------

  function draw(parent, name, attributes) {
    const element = document.createElementNS("http://www.w3.org/2000/svg", name);
    set(element, attributes);
    return parent.appendChild(element);
  }
  function set(element, attributes) {
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  }

  // A ball in the hitter's view with its way, the part behind it, a ring to find it by, marks and a label.
  function flier(id) {
    const group = draw(byId("balls"), "g", { class: "flier" });
    return {
      group,
      way: draw(group, "polyline", { class: "way" }),
      trail: draw(group, "polyline", { class: "trail" }),
      separates: draw(group, "path", { class: "mark" }),
      commits: draw(group, "path", { class: "mark" }),
      ring: draw(group, "circle", { class: "ring" }),
      ball: draw(group, "circle", { class: "ball", id }),
      label: draw(group, "text", { class: "label" }),
    };
  }

  // Where a pitch arrives, and the moving place where it is expected.
  function spot() {
    const group = draw(byId("places"), "g", { class: "spot" });
    return {
      group,
      link: draw(group, "line", { class: "link" }),
      wide: draw(group, "line", { class: "cross" }),
      tall: draw(group, "line", { class: "cross" }),
      expected: draw(group, "circle", { class: "expected", r: 9 }),
      arrives: draw(group, "circle", { class: "ball", r: film.ball_ft * home.scale }),
      expectedLabel: draw(group, "text", { class: "label" }),
      arrivesLabel: draw(group, "text", { class: "label" }),
    };
  }

  const fastball = flier("ball-fastball");
  fastball.group.classList.add("fastball");
  const fliers = film.pitches.map((pitch, slot) => flier(slot ? `ball-thrown-${slot + 1}` : "ball-thrown"));
  const spots = film.pitches.map(spot);
  spots.forEach((one, slot) => set(one.expected, { id: slot ? `expected-${slot + 1}` : "expected" }));

  // ---- state --------------------------------------------------------------------------------------------------------

  let moment = 0; // ms after release
  let shown = []; // numbers of the pitches that are shown
  let before = null; // time of the last picture, ms; null while nothing plays

  const sameLine = () => shownFastball.value === "same_line";
  const rival = () => (sameLine() ? film.pitches[shown[0]].same_line : film.beside);
  const lastMoment = () => Math.ceil(Math.max(end(rival()), ...shown.map((number) => end(film.pitches[number].thrown))));

  // Moments worth stopping at, whole ms as the slider has them.
  function moments() {
    const found = new Set([0, lastMoment()]);
    for (const number of shown) {
      const pitch = film.pitches[number];
      found.add(Math.round(pitch.commit_ms));
      if (pitch.separation_ms !== null) found.add(Math.round(pitch.separation_ms));
    }
    return [...found].sort((one, other) => one - other);
  }
  const nextCommit = (from) =>
    Math.min(...shown.map((number) => Math.round(film.pitches[number].commit_ms)).filter((commit) => commit > from));

  function choose() {
    const number = film.pitches.findIndex((pitch) => pitch.name === shownPitch.value);
    shown = number < 0 ? film.pitches.map((pitch, index) => index) : [number];
    time.max = lastMoment();
    moment = Math.min(moment, lastMoment());
    prepare();
    rest();
  }

  // ---- what stays while the balls move --------------------------------------------------------------------------------

  const path = (track, until) => {
    const points = track.time_ms.map((t, point) => (t < until ? [track.right_deg[point], track.up_deg[point]] : null));
    const last = [at(track, track.right_deg, until), at(track, track.up_deg, until)];
    return [...points.filter(Boolean), last]
      .map(([right, up]) => `${across(seen, right).toFixed(1)},${down(seen, up).toFixed(1)}`)
      .join(" ");
  };
  const diamond = ({ x, y }) => `M${x} ${y - 7}l7 7 -7 7 -7 -7z`;
  const square = ({ x, y }) => `M${x - 6} ${y - 6}h12v12h-12z`;

  function prepare() {
    fastball.group.classList.toggle("same-line", sameLine());
    set(fastball.way, { points: path(rival(), end(rival())) });
    fliers.forEach((one, slot) => {
      const used = slot < shown.length;
      one.group.style.display = used ? "" : "none";
      spots[slot].group.style.display = used ? "" : "none";
      if (!used) return;
      const pitch = film.pitches[shown[slot]];
      for (const group of [one.group, spots[slot].group]) group.dataset.pitch = shown[slot];
      set(one.way, { points: path(pitch.thrown, end(pitch.thrown)) });
      const parts = pitch.separation_ms !== null;
      set(one.separates, { d: parts ? diamond(place(pitch.thrown, pitch.separation_ms)) : "" });
      set(one.commits, { d: square(place(pitch.thrown, pitch.commit_ms)) });
      const [side, height] = pitch.arrival;
      set(spots[slot].arrives, { cx: across(home, side), cy: down(home, height) });
    });
    belief.replaceChildren(...beliefRows());
  }

  // What he believes: of one pitch every type, of several each pitch's own.
  function believed() {
    if (shown.length > 1) {
      return shown.map((number) => {
        const pitch = film.pitches[number];
        return { pitch, type: pitch.name, row: pitch.belief.types.indexOf(pitch.name), number };
      });
    }
    const pitch = film.pitches[shown[0]];
    return pitch.belief.types.map((type, row) => ({ pitch, type, row, number: type === pitch.name ? shown[0] : null }));
  }
  const percent = ({ pitch, row }) => at(pitch.belief, pitch.belief.mean[row], moment);

  function beliefRows() {
    const heading = document.createElement("p");
    heading.textContent = shown.length > 1 ? "How sure he is of each pitch" : "What he believes it is";
    const rows = believed().filter((one) => one.row >= 0).map((one) => {
      const row = document.createElement("div");
      row.className = one.type === film.fastball ? "sure-row fastball" : "sure-row";
      if (one.number !== null) row.dataset.pitch = one.number;
      const [name, bar, fill, number] = ["bdi", "span", "span", "span"].map((tag) => document.createElement(tag));
      name.textContent = one.type;
      bar.className = "bar";
      bar.append(fill);
      number.className = "percent";
      row.append(name, bar, number);
      row.update = () => {
        fill.style.width = `${percent(one).toFixed(1)}%`;
        number.textContent = `${percent(one).toFixed(0)} %`;
      };
      return row;
    });
    return [heading, ...rows];
  }

  // ---- what moves -----------------------------------------------------------------------------------------------------

  function move(one, track, name) {
    const { x, y, r } = place(track, moment);
    set(one.ball, { cx: x, cy: y, r });
    set(one.ring, { cx: x, cy: y, r: r + 5 });
    set(one.trail, { points: path(track, moment) });
    const inside = x > 0 && x < seen.width && y > 0 && y < seen.height - ROOM;
    one.label.textContent = inside ? name : "";
    return { text: one.label, x, y: y + 5, away: r + 10, left: one === fastball };
  }

  // Labels stand beside what they name, to the left or the right, inside the picture, and no two closer than ROOM.
  function placeLabels(labels, view) {
    let free = 16;
    for (const { text, x, y, away, left } of labels.filter((one) => one.text.textContent).sort((a, b) => a.y - b.y)) {
      const line = Math.max(y, free), long = text.getComputedTextLength();
      free = line + ROOM;
      const start = left ? x - away - long : x + away;
      const flipped = left ? x + away : x - away - long;
      const fits = (one) => one >= 4 && one + long <= view.width - 4;
      const inside = Math.max(4, Math.min(start, view.width - 4 - long));
      set(text, { x: fits(start) ? start : fits(flipped) ? flipped : inside, y: line });
    }
  }

  function expect(one, pitch) {
    const table = pitch.expectation, value = (key) => at(table, table[key], moment);
    const [x, y] = [across(home, value("side_ft")), down(home, value("height_ft"))];
    const [arriveX, arriveY] = [Number(one.arrives.getAttribute("cx")), Number(one.arrives.getAttribute("cy"))];
    set(one.expected, { cx: x, cy: y });
    set(one.wide, { x1: across(home, value("side_low_ft")), x2: across(home, value("side_high_ft")), y1: y, y2: y });
    set(one.tall, { x1: x, x2: x, y1: down(home, value("height_low_ft")), y2: down(home, value("height_high_ft")) });
    set(one.link, { x1: x, y1: y, x2: arriveX, y2: arriveY });
    const alone = shown.length === 1;
    one.expectedLabel.textContent = alone ? "expected" : `${pitch.name}, expected`;
    one.arrivesLabel.textContent = alone ? "arrives" : `${pitch.name} arrives`;
    return [
      { text: one.expectedLabel, x, y: y - 8, away: 12, left: true },
      { text: one.arrivesLabel, x: arriveX, y: arriveY + 22, away: 14, left: false },
    ];
  }

  function show() {
    const inFlight = [move(fastball, rival(), sameLine() ? "same-line fastball" : film.fastball)], atPlate = [];
    shown.forEach((number, slot) => {
      const pitch = film.pitches[number];
      inFlight.push(move(fliers[slot], pitch.thrown, pitch.name));
      atPlate.push(...expect(spots[slot], pitch));
    });
    placeLabels(inFlight, seen);
    placeLabels(atPlate, home);
    for (const row of belief.children) if (row.update) row.update();
    clock.textContent = `${Math.round(moment)} ms`;
    eye.dataset.timeMs = moment;
  }

  // ---- words ----------------------------------------------------------------------------------------------------------

  const said = (scale, value) => `${(scale.factor * value).toFixed(scale.digits)} ${scale.symbol}`;

  function when(pitch) {
    const left = Math.round(pitch.commit_ms) - moment;
    if (left > 0) return `${left} ms before he has to commit`;
    if (left === 0) return "he has to commit now";
    return moment >= end(pitch.thrown) ? "it is at the plate" : `${-left} ms after the commit point`;
  }

  function off(pitch) {
    const table = pitch.expectation;
    const side = 12 * (pitch.arrival[0] - at(table, table.side_ft, moment));
    const height = 12 * (pitch.arrival[1] - at(table, table.height_ft, moment));
    const late = end(pitch.thrown) - at(table, table.arrival_ms, moment);
    const glove = side >= 0 === (film.hand === "right") ? "glove" : "arm";
    return `Where it arrives is ${said(film.length, Math.abs(height))} ${height < 0 ? "below" : "above"} and `
      + `${said(film.length, Math.abs(side))} to the ${glove} side of where he expects it, `
      + `${Math.abs(late).toFixed(0)} ms ${late < 0 ? "earlier" : "later"}.`;
  }

  function words(number) {
    const pitch = film.pitches[number], other = sameLine() ? pitch.same_line : film.beside;
    const away = at(pitch.thrown, pitch.thrown.from_plate_ft, moment);
    const apart = moment > end(other) ? "the fastball is already at the plate" :
      `${gap(pitch.thrown, other, moment).toFixed(2)} degrees from the fastball at his eye`;
    const beliefs = pitch.belief.types
      .map((type, row) => `${type} ${at(pitch.belief, pitch.belief.mean[row], moment).toFixed(0)} %`);
    const believes = beliefs.length > 1 ? ` He believes: ${beliefs.join(", ")}.` : "";
    return `${pitch.name}: ${said(film.distance, away)} from the plate; ${when(pitch)}; ${apart}.${believes} ${off(pitch)}`;
  }

  // Playing is over, or the slider was moved: whole ms, and the words.
  function rest() {
    before = null;
    moment = Math.round(moment);
    time.value = moment;
    time.setAttribute("aria-valuetext", `${moment} ms after release`);
    play.textContent = calm.matches ? "Next moment" : moment >= lastMoment() ? "Play again" : "Play";
    show();
    readout.textContent = `${moment} ms after release. ${shown.map(words).join(" ")}`;
  }

  // ---- the clock ------------------------------------------------------------------------------------------------------

  function tick(now) {
    if (before === null) return;
    const until = Math.min(stop.checked ? nextCommit(moment) : Infinity, lastMoment());
    moment = Math.min(moment + Math.max(now - before, 0) * Number(speed.value), until);
    before = now;
    if (moment >= until) {
      rest();
      return;
    }
    time.value = moment;
    show();
    requestAnimationFrame(tick);
  }

  play.addEventListener("click", () => {
    if (before !== null) {
      rest();
    } else if (calm.matches) {
      moment = moments().find((one) => one > moment) ?? 0;
      rest();
    } else {
      if (moment >= lastMoment()) moment = 0;
      play.textContent = "Pause";
      before = performance.now();
      requestAnimationFrame(tick);
    }
  });
  time.addEventListener("input", () => {
    moment = Number(time.value);
    rest();
  });
  shownPitch.addEventListener("change", choose);
  shownFastball.addEventListener("change", choose);
  calm.addEventListener("change", rest);

  byId("live").hidden = false;
  document.documentElement.classList.add("scripted");
  choose();
})();
