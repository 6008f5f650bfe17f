/* Moves the corners of piece and card over the photograph and sends them to the program that shows
   this page. A plain script; it asks nothing of anywhere else. */
(function () {
  "use strict";

  var told = JSON.parse(document.getElementById("told").textContent);
  var KEYS = ["piece_at", "card_at"];
  var NAMES = { piece_at: "piece", card_at: "card" };
  var CORNERS = ["left top", "right top", "right bottom", "left bottom"];
  var STEP = 0.0005; // of the picture's longer side, for one press of an arrow key
  var LEAST_TURN = 1e-5; // of the picture: corners nearly on one line make no place
  var INNER = 0.3; // of a patch left off at each side before it is read
  var MOST_ZOOM = 10;
  var SVG = "http://www.w3.org/2000/svg";

  function find(name) { return document.querySelector("[data-" + name + "]"); }
  var stage = find("stage"), sheet = find("sheet"), picture = find("picture"), lines = find("lines");
  var loupe = find("loupe"), said = find("said"), heard = find("heard"), hasCard = find("has-card");
  var save = find("save"), done = find("done");

  var quads = {}, began = {}, saved = "", seen = told.seen;
  var handles = {}, tags = {}, zoom = 1, fit = 1, warned = false, over = false, sending = false, watched = null;
  var longer = Math.max(told.width, told.height);

  function copy(quad) { return quad.map(function (corner) { return corner.slice(); }); }
  function round(part) { return Math.round(part * 1e4) / 1e4; }
  function hold(part) { return Math.min(1, Math.max(0, part)); }
  function shownKeys() { return hasCard.checked ? KEYS : KEYS.slice(0, 1); }
  function state() { return JSON.stringify(shownKeys().map(function (key) { return quads[key]; })); }
  function percent(part) { return (part * 100).toFixed(1) + " %"; }
  function nameOf(key) { return NAMES[key].charAt(0).toUpperCase() + NAMES[key].slice(1); }

  /* ------------------------------------------------------------------ what is wrong with four corners */

  function judge(quad) {
    var turns = quad.map(function (a, at) {
      var b = quad[(at + 1) % 4], c = quad[(at + 2) % 4];
      return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]);
    });
    var right = turns.filter(function (turn) { return turn > LEAST_TURN; }).length;
    var left = turns.filter(function (turn) { return turn < -LEAST_TURN; }).length;
    if (right === 4) return "";
    if (left === 4) return "its corners run the wrong way round: left top, right top, right bottom, left bottom";
    if (right + left < 4) return "two corners lie too close, or three on one line";
    if (right === 2) return "two of its edges cross";
    return right === 3 ? "one corner is pushed in past the others" : "its corners are out of order";
  }

  /* ------------------------------------------------------------------ the card's patches */

  function carrier(quad) {
    // The unit square to the quad. Heckbert, Fundamentals of Texture Mapping (1989), 2.2.3.
    var p = quad.map(function (c) { return [c[0] * told.width, c[1] * told.height]; });
    var sx = p[0][0] - p[1][0] + p[2][0] - p[3][0], sy = p[0][1] - p[1][1] + p[2][1] - p[3][1];
    var dx1 = p[1][0] - p[2][0], dx2 = p[3][0] - p[2][0], dy1 = p[1][1] - p[2][1], dy2 = p[3][1] - p[2][1];
    var whole = dx1 * dy2 - dx2 * dy1;
    var g = (sx * dy2 - dx2 * sy) / whole, h = (dx1 * sy - sx * dy1) / whole;
    var a = p[1][0] - p[0][0] + g * p[1][0], b = p[3][0] - p[0][0] + h * p[3][0];
    var d = p[1][1] - p[0][1] + g * p[1][1], e = p[3][1] - p[0][1] + h * p[3][1];
    return function (u, v) {
      var scale = g * u + h * v + 1;
      return [(a * u + b * v + p[0][0]) / scale, (d * u + e * v + p[0][1]) / scale];
    };
  }

  function trace(points, closed) {
    return "M" + points.map(function (point) { return point[0].toFixed(2) + " " + point[1].toFixed(2); }).join("L") + (closed ? "Z" : "");
  }

  function tracePatches(quad) {
    var carry = carrier(quad), across = 1 / told.columns, down = 1 / told.rows;
    return told.patches.map(function (patch) {
      var top = (patch[0] + INNER) * down, bottom = (patch[0] + 1 - INNER) * down;
      var left = (patch[1] + INNER) * across, right = (patch[1] + 1 - INNER) * across;
      return trace([carry(left, top), carry(right, top), carry(right, bottom), carry(left, bottom)], true);
    }).join("");
  }

  /* ------------------------------------------------------------------ drawing */

  function addPath(group, kind) {
    ["under", "over"].forEach(function (part) {
      var path = document.createElementNS(SVG, "path");
      path.setAttribute("class", kind + " " + part);
      group.appendChild(path);
    });
  }

  function makeThing(key) {
    var group = document.createElementNS(SVG, "g");
    group.setAttribute("class", NAMES[key]);
    group.setAttribute("data-outline", key);
    addPath(group, "thin");
    addPath(group, "edge");
    lines.appendChild(group);
    tags[key] = document.createElement("span");
    tags[key].className = "tag";
    tags[key].textContent = NAMES[key];
    tags[key].setAttribute("aria-hidden", "true");
    sheet.appendChild(tags[key]);
    handles[key] = CORNERS.map(function (corner, at) {
      var handle = document.createElement("button");
      handle.type = "button";
      handle.className = "corner";
      handle.dataset.of = key;
      handle.dataset.at = at;
      handle.setAttribute("aria-describedby", "how");
      sheet.appendChild(handle);
      listenTo(handle, key, at);
      return handle;
    });
  }

  function nameHandle(key, at) {
    var corner = quads[key][at];
    return nameOf(key) + ", " + CORNERS[at] + ": " + percent(corner[0]) + " across, " + percent(corner[1]) + " down";
  }

  function drawThing(key) {
    var shown = shownKeys().indexOf(key) >= 0, quad = quads[key], wrong = judge(quad);
    var group = lines.querySelector("[data-outline=" + key + "]");
    var pixels = quad.map(function (c) { return [c[0] * told.width, c[1] * told.height]; });
    group.style.display = shown ? "" : "none";
    group.classList.toggle("wrong", Boolean(wrong));
    var inner = key === "card_at" && told.patches.length && !wrong ? tracePatches(quad) : "";
    group.querySelectorAll(".thin").forEach(function (path) { path.setAttribute("d", inner); });
    group.querySelectorAll(".edge").forEach(function (path) { path.setAttribute("d", trace(pixels, true)); });
    handles[key].forEach(function (handle, at) {
      handle.hidden = !shown;
      handle.style.left = quad[at][0] * 100 + "%";
      handle.style.top = quad[at][1] * 100 + "%";
      handle.setAttribute("aria-label", nameHandle(key, at));
    });
    tags[key].hidden = !shown;
    tags[key].style.left = quad[0][0] * 100 + "%";
    tags[key].style.top = quad[0][1] * 100 + "%";
    var verdict = document.querySelector("[data-verdict=" + key + "]");
    var words = wrong ? nameOf(key) + ": " + wrong + "." : "Four corners, in order.";
    if (verdict.textContent !== words) verdict.textContent = words;
    verdict.classList.toggle("wrong", Boolean(wrong));
  }

  function whatIsWrong() {
    return shownKeys().map(function (key) {
      var wrong = judge(quads[key]);
      return wrong ? nameOf(key) + ": " + wrong + "." : "";
    }).filter(Boolean).join(" ");
  }

  function draw() {
    KEYS.forEach(drawThing);
    find("card-part").hidden = !hasCard.checked;
    save.setAttribute("aria-disabled", String(Boolean(whatIsWrong())));
  }

  function tell(words, wrong) {
    said.textContent = words;
    said.classList.toggle("wrong", Boolean(wrong));
  }

  /* ------------------------------------------------------------------ size of the photograph */

  function resize() {
    var room = stage.clientWidth < 500 ? 36 : 56, wide = stage.clientWidth, high = stage.clientHeight;
    fit = Math.min((wide - room) / told.width, (high - room) / told.height);
    fit = Math.max(fit, 0.01);
    sheet.style.width = Math.round(told.width * fit * zoom) + "px";
    sheet.style.height = Math.round(told.height * fit * zoom) + "px";
    // Room round the picture, so that a handle at its edge can be taken hold of.
    stage.style.padding = room / 2 + "px";
    find("zoomed").textContent = zoom === 1 ? "fitted" : "× " + zoom.toFixed(1);
  }

  function zoomTo(wanted, x, y) {
    var box = sheet.getBoundingClientRect(), frame = stage.getBoundingClientRect();
    var middle = document.activeElement && document.activeElement.classList.contains("corner") ? document.activeElement.getBoundingClientRect() : null;
    if (x === undefined) {
      x = middle ? middle.left + middle.width / 2 : frame.left + frame.width / 2;
      y = middle ? middle.top + middle.height / 2 : frame.top + frame.height / 2;
    }
    var u = (x - box.left) / box.width, v = (y - box.top) / box.height;
    zoom = Math.min(MOST_ZOOM, Math.max(1, wanted));
    resize();
    box = sheet.getBoundingClientRect();
    stage.scrollLeft += box.left + u * box.width - x;
    stage.scrollTop += box.top + v * box.height - y;
  }

  /* ------------------------------------------------------------------ the loupe */

  function showLoupe(key, at) {
    watched = [key, at];
    var side = loupe.width, half = side / 2, corner = quads[key][at];
    var ink = loupe.getContext("2d");
    var scale = (loupe.width / loupe.clientWidth || 2) * Math.max(fit * zoom * 3, 0.6);
    var x = corner[0] * told.width, y = corner[1] * told.height;
    loupe.hidden = false;
    ink.setTransform(1, 0, 0, 1, 0, 0);
    ink.fillStyle = "#767676";
    ink.fillRect(0, 0, side, side);
    ink.setTransform(scale, 0, 0, scale, half - x * scale, half - y * scale);
    ink.drawImage(picture, 0, 0, told.width, told.height);
    ink.setTransform(1, 0, 0, 1, 0, 0);
    [["rgba(0,0,0,0.75)", 5], ["#fff", 2]].forEach(function (pen) {
      ink.strokeStyle = pen[0];
      ink.lineWidth = pen[1];
      ink.beginPath();
      [quads[key][(at + 3) % 4], corner, quads[key][(at + 1) % 4]].forEach(function (end, step) {
        var px = half + (end[0] * told.width - x) * scale, py = half + (end[1] * told.height - y) * scale;
        // Stopped short of the corner: what is aimed at stays free.
        var far = Math.hypot(px - half, py - half) || 1, gap = Math.min(18, far);
        if (step === 1) return;
        ink.moveTo(half + (px - half) * gap / far, half + (py - half) * gap / far);
        ink.lineTo(px, py);
      });
      ink.moveTo(half + 4, half);
      ink.arc(half, half, 4, 0, 2 * Math.PI);
      ink.stroke();
    });
    var box = handles[key][at].getBoundingClientRect(), view = stage.getBoundingClientRect();
    var px = box.left + box.width / 2 - view.left, py = box.top + box.height / 2 - view.top;
    var size = loupe.offsetWidth, top = py - size - 44;
    if (top < 4) top = py + 44;
    if (top + size > view.height - 4) { top = Math.max(4, Math.min(py - size / 2, view.height - size - 4)); px += px < view.width / 2 ? size / 2 + 44 : -size / 2 - 44; }
    loupe.style.transform = "translate(" + Math.max(4, Math.min(px - size / 2, view.width - size - 4)) + "px," + top + "px)";
  }

  function hideLoupe() { watched = null; loupe.hidden = true; }

  /* ------------------------------------------------------------------ moving */

  function move(key, at, x, y) {
    quads[key][at] = [round(hold(x)), round(hold(y))];
    warned = false;
    if (said.textContent) tell("");
    draw();
    showLoupe(key, at);
    if (x < 0 || x > 1 || y < 0 || y > 1) tell(nameOf(key) + ": a corner stays inside the photograph.", true);
  }

  function listenTo(handle, key, at) {
    var grip = null;
    handle.addEventListener("pointerdown", function (event) {
      if (event.button) return;
      var box = sheet.getBoundingClientRect(), corner = quads[key][at];
      grip = [event.clientX - box.left - corner[0] * box.width, event.clientY - box.top - corner[1] * box.height];
      handle.setPointerCapture(event.pointerId);
      handle.classList.add("held");
      handle.focus({ preventScroll: true });
      showLoupe(key, at);
      event.preventDefault();
    });
    handle.addEventListener("pointermove", function (event) {
      if (!grip) return;
      var box = sheet.getBoundingClientRect();
      move(key, at, (event.clientX - box.left - grip[0]) / box.width, (event.clientY - box.top - grip[1]) / box.height);
    });
    ["pointerup", "pointercancel", "lostpointercapture"].forEach(function (name) {
      handle.addEventListener(name, function () {
        if (!grip) return;
        grip = null;
        handle.classList.remove("held");
        hideLoupe();
      });
    });
    handle.addEventListener("keydown", function (event) {
      var ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
      var way = ways[event.key];
      if (!way || event.ctrlKey || event.metaKey || event.altKey) return;
      var step = STEP * longer * (event.shiftKey ? 10 : 1), corner = quads[key][at];
      event.preventDefault();
      move(key, at, corner[0] + way[0] * step / told.width, corner[1] + way[1] * step / told.height);
      keepInView(handle);
    });
    handle.addEventListener("keyup", function (event) {
      if (event.key.indexOf("Arrow") === 0) heard.textContent = nameHandle(key, at);
    });
    handle.addEventListener("focus", function () {
      if (handle.matches(":focus-visible")) { keepInView(handle); showLoupe(key, at); }
    });
    handle.addEventListener("blur", hideLoupe);
  }

  function keepInView(handle) {
    handle.scrollIntoView({ block: "nearest", inline: "nearest" });
  }

  /* ------------------------------------------------------------------ sending */

  function send(message, then) {
    if (sending) return;
    sending = true;
    fetch(location.pathname, {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify(message)
    }).then(function (answer) {
      return answer.json().then(function (read) { return { good: answer.ok, read: read }; });
    }).then(function (answer) {
      sending = false;
      if (answer.good) then(answer.read);
      else tell("Not saved. " + answer.read.problems.join(" "), true);
    }).catch(function () {
      sending = false;
      tell("The program behind this page has stopped. Start it again in the terminal, and open the new address.", true);
    });
  }

  save.addEventListener("click", function () {
    var wrong = whatIsWrong(), now = state(), message = { seen: seen };
    if (wrong) { tell("Cannot be saved yet. " + wrong, true); return; }
    shownKeys().forEach(function (key) { message[key] = quads[key]; });
    send(message, function (answer) {
      seen = answer.seen;
      saved = now;
      warned = false;
      tell(answer.said);
    });
  });

  done.addEventListener("click", function () {
    if (state() !== saved && !warned) {
      warned = true;
      tell("Corners have been moved and not saved. Save them, or press Done again to leave them.", true);
      return;
    }
    send({ done: true }, function () {
      over = true;
      hideLoupe();
      document.querySelectorAll("button, input").forEach(function (part) { part.disabled = true; });
      tell("Done. This window can be closed.");
    });
  });

  find("back").addEventListener("click", function () {
    KEYS.forEach(function (key) { quads[key] = copy(began[key]); });
    hasCard.checked = told.has_card;
    warned = false;
    draw();
    tell("The corners are where they were when this page was opened.");
  });

  find("turn").addEventListener("click", function () {
    quads.card_at = [quads.card_at[3], quads.card_at[0], quads.card_at[1], quads.card_at[2]];
    warned = false;
    draw();
    tell("The card's left top corner is now the next one, clockwise.");
  });

  hasCard.addEventListener("change", function () { warned = false; draw(); });

  document.querySelectorAll("[data-zoom]").forEach(function (button) {
    var way = button.dataset.zoom;
    button.addEventListener("click", function () {
      zoomTo(way === "fit" ? 1 : way === "in" ? zoom * 1.5 : zoom / 1.5);
    });
  });
  stage.addEventListener("wheel", function (event) {
    if (!event.ctrlKey) return;
    event.preventDefault();
    zoomTo(zoom * Math.exp(-event.deltaY / 300), event.clientX, event.clientY);
  }, { passive: false });
  stage.addEventListener("keydown", function (event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === "+" || event.key === "=") zoomTo(zoom * 1.5);
    else if (event.key === "-") zoomTo(zoom / 1.5);
    else if (event.key === "0") zoomTo(1);
    else return;
    event.preventDefault();
  });
  stage.addEventListener("scroll", function () {
    if (watched) showLoupe(watched[0], watched[1]);
  });
  window.addEventListener("resize", function () { resize(); hideLoupe(); });
  window.addEventListener("beforeunload", function (event) {
    if (!over && state() !== saved) event.preventDefault();
  });

  /* ------------------------------------------------------------------ begin */

  find("setup").textContent = "Set-up “" + told.setup + "”,";
  find("photo").textContent = told.photo;
  hasCard.checked = told.has_card;
  find("grid-words").textContent = told.patches.length
    ? "The outer corners of its patches: each small square should lie inside one patch."
    : "The outer corners of its patches, beginning with the patch called A1.";
  lines.setAttribute("viewBox", "0 0 " + told.width + " " + told.height);
  KEYS.forEach(function (key) {
    quads[key] = copy(told[key]);
    began[key] = copy(told[key]);
    makeThing(key);
  });
  // Tab goes through the corners in the order of the side's text: piece, then card.
  saved = state();
  resize();
  draw();
})();
