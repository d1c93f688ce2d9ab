// What is wrong with how the page lies: one sentence a fault. Called with the least size of text in pictures, CSS px.
(leastSize) => {
  const faults = [];
  const root = document.documentElement;
  const short = (text) => JSON.stringify(text.trim().replace(/\s+/g, " ").slice(0, 40));

  if (root.scrollWidth > root.clientWidth)
    faults.push(`the page is ${root.scrollWidth} px wide on ${root.clientWidth} px`);

  const visible = (element) =>
    element.checkVisibility({ opacityProperty: true, visibilityProperty: true, contentVisibilityAuto: true });

  // What of a box is left by the boxes that clip it; and whether what is gone can be scrolled to.
  function left(box, element) {
    let { left: l, top: t, right: r, bottom: b } = box, scrolls = false;
    for (let one = element; one && one !== document.body; one = one.parentElement) {
      const style = getComputedStyle(one), clip = one.getBoundingClientRect();
      if (style.display === "inline" || style.display === "contents") continue;
      if (style.overflowX !== "visible") {
        scrolls ||= /auto|scroll/.test(style.overflowX);
        [l, r] = [Math.max(l, clip.left), Math.min(r, clip.right)];
      }
      if (style.overflowY !== "visible") [t, b] = [Math.max(t, clip.top), Math.min(b, clip.bottom)];
    }
    return { left: l, top: t, right: r, bottom: b, scrolls };
  }
  // What of a piece of a picture is left by the clipping paths around it; ours are rectangles in the user's space.
  function unclipped(box, element) {
    let { left: l, top: t, right: r, bottom: b } = box;
    for (let one = element; one && one.tagName !== "svg"; one = one.parentElement) {
      const path = getComputedStyle(one).clipPath.match(/^url\("#(.+)"\)$/);
      if (!path) continue;
      const { x, y, width: w, height: h } = document.getElementById(path[1]).firstElementChild.getBBox();
      const ends = [[x, y], [x + w, y + h]].map(([u, v]) => new DOMPoint(u, v).matrixTransform(one.getScreenCTM()));
      [l, r] = [Math.max(l, ends[0].x), Math.min(r, ends[1].x)];
      [t, b] = [Math.max(t, ends[0].y), Math.min(b, ends[1].y)];
    }
    return { left: l, top: t, right: r, bottom: b };
  }
  const width = (box) => box.right - box.left, height = (box) => box.bottom - box.top;

  // Every piece of text: a line of a text node, or a whole text of a picture.
  const pieces = [];
  const add = (text, box, element, size) => {
    const seen = left(box, element);
    if (width(seen) < 2 || height(seen) < 2) {
      // hidden from eyes on purpose (one pixel is left for screen readers), or to be scrolled to
      const hidden = element.closest("thead, [role=status]");
      if (!seen.scrolls && !(hidden && hidden.getBoundingClientRect().width <= 1))
        faults.push(`${short(text)} is cut off altogether`);
      return;
    }
    if (!seen.scrolls && width(seen) < width(box) - 1.5) faults.push(`${short(text)} is cut off at the side`);
    if (!seen.scrolls && height(seen) < height(box) - 0.25 * size) faults.push(`${short(text)} is cut off below or above`);
    if (seen.left < -0.5 || seen.right > root.clientWidth + 0.5) faults.push(`${short(text)} leaves the window`);
    pieces.push({ text, size, ...seen });
  };
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const parent = node.parentElement;
    if (!node.data.trim() || parent.closest("svg, script, style, noscript, option, title") || !visible(parent)) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    const size = parseFloat(getComputedStyle(parent).fontSize);
    for (const box of range.getClientRects()) if (box.width > 0.5) add(node.data, box, parent, size);
  }
  for (const text of document.querySelectorAll("svg text")) {
    if (!text.textContent.trim() || !visible(text)) continue;
    const matrix = text.getScreenCTM();
    const size = parseFloat(getComputedStyle(text).fontSize) * Math.hypot(matrix.a, matrix.b);
    if (size < leastSize - 0.05) faults.push(`${short(text.textContent)} in a picture is ${size.toFixed(1)} px high`);
    const box = text.getBoundingClientRect(), rest = unclipped(box, text);
    if (width(rest) < width(box) - 1.5 || height(rest) < height(box) - 1.5)
      faults.push(`${short(text.textContent)} in a picture is clipped`);
    add(text.textContent, box, text.parentElement, size);
  }

  // A box of text has room for accents above and tails below: a tenth of its size on each side holds no ink.
  const ink = pieces.map(({ text, size, left, top, right, bottom }) => {
    const room = 0.1 * size;
    return { text, left: left + room, top: top + room, right: right - room, bottom: bottom - room };
  });
  ink.sort((one, other) => one.top - other.top);
  ink.forEach((one, number) => {
    for (let next = number + 1; next < ink.length && ink[next].top < one.bottom; next += 1) {
      const other = ink[next];
      if (one.left < other.right && other.left < one.right)
        faults.push(`${short(one.text)} lies on ${short(other.text)}`);
    }
  });

  // Cells and controls hold what is in them.
  for (const box of document.querySelectorAll("td, th, button, select, summary, figcaption"))
    if (visible(box) && getComputedStyle(box).display !== "inline" && box.scrollWidth > box.clientWidth + 1 &&
        box.clientWidth > 1)
      faults.push(`${short(box.innerText)} is wider than its ${box.tagName.toLowerCase()}`);

  return { faults: [...new Set(faults)], texts: pieces.length };
}
