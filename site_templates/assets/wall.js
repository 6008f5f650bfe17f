/* The wall: filters, orders, and tiles for the rows in view and no others. Without this script the
   page shows its first tiles and leads to a plain list of all. */
(function () {
  "use strict";

  var NUMBER = 0, PICTURE = 1, FRAME = 2, METAL = 3, WORDS = 4, TOLD = 5, FACETS = 9;
  var ORDERS = { hue: 6, lightness: 7, date: 8 };
  var LONG = 0.98; /* a row has room for the words of this share of all tiles */
  var LEAST_ROWS = 2; /* drawn even out of view, so that the keyboard leads into the wall */

  var form = document.querySelector("[data-pat-filter]");
  var wall = document.querySelector("[data-pat-wall]");
  var told = window.patWall;
  if (!form || !wall || !told) return;

  function one(name) { return document.querySelector("[data-pat-" + name + "]"); }
  var above = one("above"), below = one("below"), none = one("none"), count = one("count"), cut = one("cut");
  var reset = form.querySelector("button"), typed = form.elements.words, sort = form.elements.sort;
  var fields = Array.prototype.slice.call(form.querySelectorAll("select"));
  var rows = told.rows, all = rows.map(function (_, id) { return id; });
  var sorted = { number: all }, texts = null;
  var shown = all, place = []; /* what is on the wall, in order; where each stands in it */
  var drawn = new Map(); /* the tiles there are, by piece */
  var columns = 1, pitch = 1, width = 0, from = -1, to = -1;
  var onPaper = false;
  var foremost = 0; /* the place of the first tile in view */

  function say(number) { return number.toLocaleString("en"); }

  function word(at) { return told.words[at]; }

  function lookOf(row) { return row[WORDS].map(word).join(", "); }

  /* ---------------------------------------------------------------- tiles */

  function make(tag, kind, words) {
    var element = document.createElement(tag);
    if (kind) element.className = kind;
    if (words) element.textContent = words;
    return element;
  }

  function show(row) {
    if (!row[PICTURE]) {
      var empty = make("span", "pat-empty");
      empty.appendChild(make("span", "", "no photograph"));
      return empty;
    }
    var image = make("img"), frame = told.frames[row[FRAME]];
    image.loading = "lazy";
    image.decoding = "async";
    image.width = frame[0];
    image.height = frame[1];
    if (frame[2]) image.style.setProperty("--of-mat", frame[2] + "%");
    image.alt = row[NUMBER] + row[TOLD].map(word).join(", ");
    image.src = row[PICTURE].indexOf("/") < 0 ? told.before + row[PICTURE] + told.after : row[PICTURE];
    return image;
  }

  function tile(id) {
    var row = rows[id], item = make("li"), link = make("a", "pat-tile-link");
    var mat = make("span", "pat-mat"), words = make("span", "pat-tile-words");
    link.href = "pieces/" + encodeURIComponent(row[NUMBER]) + ".html";
    mat.appendChild(show(row));
    words.appendChild(make("b", "pat-number", row[NUMBER]));
    words.appendChild(document.createTextNode(" "));
    words.appendChild(make("span", "", word(row[METAL])));
    words.appendChild(document.createTextNode(" "));
    if (lookOf(row)) words.appendChild(make("span", "pat-soft", lookOf(row)));
    link.appendChild(mat);
    link.appendChild(words);
    item.appendChild(link);
    return item;
  }

  /* ------------------------------------------------------- the rows in view */

  /* How many tiles stand in a row and how high one is, gap and all. The height is that of a tile
     with longer words than nearly all. */
  function measure() {
    var style = getComputedStyle(wall), across = style.gridTemplateColumns.split(" ");
    var lengths = all.map(function (id) { return word(rows[id][METAL]).length + lookOf(rows[id]).length; });
    var longest = all.slice().sort(function (a, b) { return lengths[a] - lengths[b]; });
    var sample = tile(longest[Math.floor(LONG * (all.length - 1))]);
    sample.className = "pat-measured";
    sample.style.width = across[0];
    wall.appendChild(sample);
    var high = Math.ceil(sample.getBoundingClientRect().height);
    wall.removeChild(sample);
    wall.style.setProperty("--row", high + "px");
    width = wall.clientWidth;
    columns = across.length;
    pitch = high + parseFloat(style.rowGap);
  }

  function countRows() { return Math.ceil(shown.length / columns); }

  function draw() {
    if (onPaper) return;
    if (wall.clientWidth === width) drawView();
    else remeasure();
  }

  /* Draw what is in view and half a view above and below. */
  function drawView() {
    var top = above.getBoundingClientRect().top, margin = Math.max(pitch, window.innerHeight / 2);
    var most = countRows();
    foremost = top < 0 ? Math.floor(-top / pitch) * columns : 0;
    var last = Math.min(most, Math.max(LEAST_ROWS, Math.ceil((window.innerHeight - top + margin) / pitch)));
    var first = Math.max(0, Math.min(most - LEAST_ROWS, Math.floor((-top - margin) / pitch)));
    if (first !== from || last !== to) lay(first, last);
  }

  function lay(first, last) {
    var wanted = shown.slice(first * columns, last * columns), here = new Set(wanted);
    var standing = document.activeElement && document.activeElement.closest("[data-pat-wall] > li");
    var left = null, leftAt = -1;
    drawn.forEach(function (item, id) {
      item.classList.toggle("pat-left", item === standing && !here.has(id));
      if (here.has(id)) return;
      if (item === standing && place[id] >= 0) {
        left = item;
        leftAt = place[id];
        return;
      }
      wall.removeChild(item);
      drawn.delete(id);
    });
    var next = wall.firstElementChild;
    wanted.forEach(function (id) {
      /* The tile that is kept is not moved: that would take the keyboard's place from it. */
      if (next === left && left && leftAt < first * columns) next = next.nextElementSibling;
      var item = drawn.get(id) || tile(id);
      drawn.set(id, item);
      item.setAttribute("aria-posinset", place[id] + 1);
      item.setAttribute("aria-setsize", shown.length);
      if (item === next) next = next.nextElementSibling;
      else wall.insertBefore(item, next);
    });
    above.style.height = first * pitch + "px";
    below.style.height = (countRows() - last) * pitch + "px";
    from = first;
    to = last;
  }

  /* Scroll until the tile that stands at a place on the wall is so far below the window's upper edge. */
  function scrollTo(at, distance) {
    var top = above.getBoundingClientRect().top + Math.floor(at / columns) * pitch;
    window.scrollBy({ top: top - distance, behavior: "instant" });
  }

  /* The next tile by the keyboard is the next on the wall, even where the reader has scrolled on. */
  function bringBack(event) {
    var left = wall.querySelector(".pat-left");
    if (event.key !== "Tab" || !left) return;
    drawn.forEach(function (item, id) {
      if (item === left) scrollTo(place[id], window.innerHeight / 3);
    });
    draw();
  }

  function hang(next) {
    shown = next;
    place = new Int32Array(rows.length).fill(-1);
    shown.forEach(function (id, at) { place[id] = at; });
    from = to = -1;
    draw();
  }

  /* Measure anew and keep the first tile in view where it was. */
  function remeasure() {
    var kept = foremost;
    measure();
    var row = Math.floor(kept / columns);
    lay(row, Math.min(countRows(), row + LEAST_ROWS));
    if (kept) scrollTo(kept, 0);
    drawView();
  }

  /* ----------------------------------------------------- filters and orders */

  function readAddress() {
    var wanted = new URLSearchParams(location.hash.slice(1));
    fields.forEach(function (field) {
      field.value = wanted.get(field.name) || field.options[0].value;
      if (field.selectedIndex < 0) field.selectedIndex = 0;
    });
    typed.value = wanted.get("words") || "";
    choose();
  }

  function writeAddress() {
    var wanted = new URLSearchParams();
    if (typed.value.trim()) wanted.set("words", typed.value.trim());
    fields.forEach(function (field) {
      if (field.selectedIndex > 0) wanted.set(field.name, field.value);
    });
    var hash = wanted.toString();
    history.replaceState(null, "", hash ? "#" + hash : location.pathname + location.search);
  }

  function inOrder(name) {
    if (!sorted[name]) {
      var key = ORDERS[name];
      sorted[name] = all.slice().sort(function (a, b) { return rows[a][key] - rows[b][key]; });
    }
    return sorted[name];
  }

  /* All that is told of each piece, for words to be found in. */
  function readTexts() {
    texts = texts || rows.map(function (row) {
      var told = [row[METAL]].concat(row[WORDS], row[TOLD], row.slice(FACETS).flat());
      return (row[NUMBER] + "\n" + told.map(word).join("\n")).toLowerCase();
    });
    return texts;
  }

  function choose() {
    var tests = [], any = false;
    var words = typed.value.toLowerCase().split(/\s+/).filter(Boolean);
    fields.forEach(function (field) {
      var set = field.selectedIndex > 0;
      field.classList.toggle("pat-set", set);
      any = any || set;
      if (!set || field === sort) return;
      var at = FACETS + told.facets.indexOf(field.name), value = told.words.indexOf(field.value);
      tests.push(function (id) {
        var has = rows[id][at];
        return has === value || (has instanceof Array && has.indexOf(value) >= 0);
      });
    });
    typed.classList.toggle("pat-set", words.length > 0);
    if (words.length) {
      var said = readTexts();
      tests.push(function (id) { return words.every(function (one) { return said[id].indexOf(one) >= 0; }); });
    }
    hang(inOrder(sort.value).filter(function (id) { return tests.every(function (test) { return test(id); }); }));
    count.textContent = say(shown.length) + " of " + say(rows.length) + " pieces";
    none.hidden = shown.length > 0;
    reset.hidden = !any && !words.length;
  }

  /* The browser goes back to a place before the wall is as long as it was; so the wall does. */
  function leave() {
    history.replaceState({ top: window.scrollY }, "");
  }

  function comeBack() {
    if (history.state && history.state.top) window.scrollTo({ top: history.state.top, behavior: "instant" });
  }

  /* ---------------------------------------------------------------- paper */

  function layForPaper() {
    onPaper = true;
    var whole = shown.length <= told.mostPrinted;
    var rows = whole ? countRows() : Math.floor(told.mostPrinted / columns);
    cut.hidden = whole;
    cut.textContent = "The first " + say(rows * columns) + " of " + say(shown.length) +
      " pieces. Paper takes no more at once: narrow the wall by its filters and print again.";
    lay(0, rows);
    wall.querySelectorAll("img").forEach(function (image) { image.loading = "eager"; });
  }

  function layForScreen() {
    onPaper = false;
    cut.hidden = true;
    draw();
  }

  /* -------------------------------------------------------------- set out */

  form.hidden = false;
  form.addEventListener("change", function () { writeAddress(); choose(); });
  typed.addEventListener("input", choose);
  form.addEventListener("submit", function (event) { event.preventDefault(); writeAddress(); });
  form.addEventListener("reset", function (event) {
    event.preventDefault();
    fields.forEach(function (field) { field.selectedIndex = 0; });
    typed.value = "";
    writeAddress();
    choose();
  });
  Array.prototype.forEach.call(wall.children, function (item, id) { drawn.set(id, item); });
  measure();
  readAddress();
  comeBack();
  wall.addEventListener("keydown", bringBack);
  window.addEventListener("scroll", draw, { passive: true });
  window.addEventListener("resize", draw);
  window.addEventListener("hashchange", readAddress);
  window.addEventListener("pagehide", leave);
  window.addEventListener("beforeprint", layForPaper);
  window.addEventListener("afterprint", layForScreen);
  new ResizeObserver(draw).observe(wall);
})();
