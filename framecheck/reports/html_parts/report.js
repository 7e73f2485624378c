"use strict";
// Folds the states of octets at the width that the slider gives. Works on numbers alone.
(() => {
  const held = JSON.parse(document.getElementById("states").textContent);
  const slider = document.getElementById("width");
  const said = document.getElementById("width-said");
  const drawing = document.getElementById("fold");
  const button = document.getElementById("law-width");
  const svg = "http://www.w3.org/2000/svg";
  const kinds = ["wrong", "unwritten", "foreign", "moved", "doubtful"];

  // Rows of `width` octets that hold a state worth ink: [octets there, [state, from, to]...].
  const rows = (width) => {
    const found = [];
    for (const [length, spans] of held.frames) {
      const touched = new Map();
      for (const [state, start, stop] of spans) {
        for (let at = start; at < stop; ) {
          const row = Math.floor(at / width);
          const end = Math.min(stop, (row + 1) * width);
          if (!touched.has(row)) touched.set(row, []);
          touched.get(row).push([state, at - row * width, end - row * width]);
          at = end;
        }
      }
      for (const row of [...touched.keys()].sort((a, b) => a - b)) {
        found.push([Math.min(width, Math.max(0, length - row * width)), touched.get(row)]);
        if (found.length >= held.most) return found;
      }
    }
    return found;
  };

  const draw = () => {
    const width = Number(slider.value);
    said.textContent = String(width);
    slider.setAttribute("aria-valuetext", `${width} octets a row`);
    const cell = Math.min(12, held.room / width);
    const tall = Math.max(2, Math.min(8, cell));
    const all = rows(width);
    const paths = { paper: "" };
    for (const kind of kinds) paths[kind] = "";
    const edges = new Array(width).fill(0);
    const box = (x, y, wide, high) =>
      `M${x.toFixed(2)} ${y.toFixed(2)}h${wide.toFixed(2)}v${high.toFixed(2)}h${(-wide).toFixed(2)}z`;
    all.forEach(([there, spans], n) => {
      const y = held.top + n * tall;
      const high = tall * 0.82;
      paths.paper += box(0, y, there * cell, high);
      for (const [state, from, to] of spans) paths[kinds[state]] += box(from * cell, y, (to - from) * cell, high);
    });
    for (const [, spans] of held.frames) for (const [, start] of spans) edges[start % width] += 1;
    const most = Math.max(1, ...edges);
    let bars = "";
    edges.forEach((count, column) => {
      const high = ((held.top - 4) * count) / most;
      if (count) bars += box(column * cell, held.top - 3 - high, cell * 0.8, high);
    });
    const high = held.top + all.length * tall + 2;
    drawing.setAttribute("viewBox", `0 0 ${held.room} ${high.toFixed(2)}`);
    drawing.setAttribute("height", high.toFixed(0));
    drawing.replaceChildren();
    for (const [name, d] of [["paper", paths.paper], ...kinds.map((k) => [k, paths[k]]), ["edge", bars]]) {
      const path = document.createElementNS(svg, "path");
      path.setAttribute("class", name);
      path.setAttribute("d", d);
      drawing.append(path);
    }
  };

  slider.addEventListener("input", draw);
  if (button) {
    button.addEventListener("click", () => {
      slider.value = button.value;
      draw();
    });
  }
})();
