// Draws the corners of an area on the map. What counts are the lines of the field beside it: the map writes there, and
// shows what stands there, so typing and pressing mix. Without this the field does alone.
"use strict";

(function draw() {
  const map = document.getElementById("map");
  const points = document.getElementById("points");
  if (!map || !points) return;

  const drawn = document.getElementById("drawn");
  const cross = document.getElementById("cross");
  const told = document.getElementById("count");
  const [west, north, xScale, yScale, width, height] = ["west", "north", "x", "y", "width", "height"].map((name) => Number(map.dataset[name]));
  const step = 12;
  let at = { x: width / 2, y: height / 2 };
  let isByKeys = false;

  const place = ({ x, y }) => `${(north - y / yScale).toFixed(3)}, ${(west + x / xScale).toFixed(3)}`;

  function corners() {
    const areas = [[]];
    for (const line of points.value.split("\n")) {
      if (!line.trim()) areas.push([]);
      const parts = line.split(",").map((part) => (part.trim() ? Number(part) : NaN));
      if (parts.length === 2 && parts.every(Number.isFinite)) {
        areas[areas.length - 1].push({ x: (parts[1] - west) * xScale, y: (north - parts[0]) * yScale });
      }
    }
    return areas.filter((area) => area.length);
  }

  function shape(name, values) {
    const made = document.createElementNS("http://www.w3.org/2000/svg", name);
    for (const [key, value] of Object.entries(values)) made.setAttribute(key, value);
    return made;
  }

  function show() {
    const areas = corners();
    drawn.replaceChildren();
    for (const area of areas) {
      const line = area.map(({ x, y }) => `${x.toFixed(1)},${y.toFixed(1)}`).join(" ");
      drawn.append(shape(area.length > 2 ? "polygon" : "polyline", { points: line }));
      for (const { x, y } of area) drawn.append(shape("circle", { cx: x.toFixed(1), cy: y.toFixed(1), r: 4 }));
    }
    cross.toggleAttribute("hidden", !isByKeys);
    cross.setAttribute("transform", `translate(${at.x} ${at.y})`);
    const here = isByKeys ? ` · ${told.dataset.here} ${place(at)}` : "";
    told.value = `${told.dataset.count} ${areas.flat().length}${here}`;
  }

  function set(where) {
    const before = points.value.replace(/[ \t]+$/, "");
    points.value = `${before}${before && !before.endsWith("\n") ? "\n" : ""}${place(where)}`;
    show();
  }

  function undo() {
    points.value = points.value.trimEnd().split("\n").slice(0, -1).join("\n");
    show();
  }

  function move(x, y) {
    at = { x: Math.min(width, Math.max(0, at.x + x)), y: Math.min(height, Math.max(0, at.y + y)) };
    show();
  }

  map.addEventListener("click", (event) => {
    const box = map.getBoundingClientRect();
    isByKeys = false;
    at = { x: ((event.clientX - box.left) / box.width) * width, y: ((event.clientY - box.top) / box.height) * height };
    set(at);
  });

  map.addEventListener("keydown", (event) => {
    const far = event.shiftKey ? 2 : step;
    const moves = { ArrowLeft: [-far, 0], ArrowRight: [far, 0], ArrowUp: [0, -far], ArrowDown: [0, far] };
    const acts = { Enter: () => set(at), " ": () => set(at), Backspace: undo, Delete: undo };
    if (event.altKey || event.ctrlKey || event.metaKey || !(event.key in moves || event.key in acts)) return;
    event.preventDefault();
    isByKeys = true;
    if (event.key in moves) move(...moves[event.key]);
    else acts[event.key]();
  });

  map.addEventListener("focus", () => {
    isByKeys = map.matches(":focus-visible");
    show();
  });
  points.addEventListener("input", show);
  document.getElementById("undo").addEventListener("click", undo);
  document.getElementById("clear").addEventListener("click", () => {
    points.value = "";
    show();
  });

  map.classList.add("live");
  map.setAttribute("tabindex", "0");
  map.setAttribute("role", "application");
  map.setAttribute("aria-describedby", "draw-how map-how");
  for (const each of document.querySelectorAll(".needs-script")) each.hidden = false;
  show();
})();
