/* Finding pieces by colour. A picture of the reader's own is drawn on the page and read there: it
   goes nowhere. The sums are those of colours.js. */
(function () {
  "use strict";

  var FIRST = 60; /* results laid out at once */
  var SQUARE = 25; /* the square read from a picture: one such part of its longer side */
  var LONGEST = 1000; /* of a picture as drawn, pixels */
  var NAME = 0, NUMBER = 1, METAL = 2, WORDS = 3, SEALED = 4, REPEATED = 5, LATEST = 6, TWELVE = 7;
  var SRC = 0, WIDE = 1, HIGH = 2, OF_MAT = 3, CROP = 4, U = 5, PATCHES = 6;

  var form = document.querySelector("[data-pat-finder]");
  var told = window.patFinder, sums = window.patColours;
  if (!form || !told || !sums) return;

  function one(name) { return document.querySelector("[data-pat-" + name + "]"); }
  var fields = ["at", "metal", "seal", "repeat"].map(function (name) { return form.elements[name]; }).filter(Boolean);
  var picker = form.elements.picked, written = form.elements.written, file = form.elements.own;
  var canvas = one("canvas"), found = one("found"), more = one("more"), apart = one("apart");
  var tone = one("tone"); /* stands by the answer, outside the form */
  /* What is looked for: {tones: L*, a*, b*, share of each; hex: of the first; words; address; like:
     the row it is like, or null; uncorrected}. */
  var wanted = null;
  var matches = [], laid = 0, waiting = false;

  /* ---------------------------------------------------------------- words */

  var say = sums.say;

  function sayShare(share) { return say(100 * share, 0) + "\u202f%"; }

  function nameOf(lab) { return sums.nameOf(lab, told.names, told.neutrals); }

  function sayLab(lab) {
    return "L*\u00a0" + say(lab[0], 0) + "\u00a0a*\u00a0" + say(lab[1], 0) + "\u00a0b*\u00a0" + say(lab[2], 0);
  }

  function sayNearness(de00, u) {
    if (de00 <= u) return told.withinNoise;
    var step = told.steps.filter(function (s) { return de00 <= s[0]; })[0];
    return step ? step[1] : told.another;
  }

  /* How many pieces the rows are of: a piece of several zones is one. */
  function count(rows) {
    var numbers = new Set(rows.map(function (row) { return row[NUMBER]; }));
    return numbers.size + (numbers.size === 1 ? " piece" : " pieces");
  }

  function make(tag, kind, words) {
    var element = document.createElement(tag);
    if (kind) element.className = kind;
    if (words) element.textContent = words;
    return element;
  }

  /* -------------------------------------------------------------- ranking */

  /* Whether pieces are held against several colours, area against area. */
  function whole() { return wanted.tones.length > 4; }

  function rank() {
    var twelve = form.elements.at.value === "12", metal = form.elements.metal.value;
    var seal = form.elements.seal.value, repeat = form.elements.repeat && form.elements.repeat.value;
    var left = [];
    matches = [];
    told.rows.forEach(function (row) {
      if (metal && told.metals[row[METAL]] !== metal) return;
      if (seal && row[SEALED] !== seal) return;
      if (repeat && !row[REPEATED]) return;
      if (wanted.like && row[NUMBER] === wanted.like[NUMBER]) return;
      var look = row[twelve && row[TWELVE] !== 1 ? TWELVE : LATEST];
      if (!look) { left.push(row); return; }
      if (whole()) {
        var mean = sums.layOver(look[PATCHES], wanted.tones);
        matches.push({ row: row, look: look, score: mean, de00: mean, share: 1, at: 0, least: mean, half: mean });
        return;
      }
      var sum = sums.score(wanted.tones.slice(0, 3), look[PATCHES], told.areaCost);
      matches.push({ row: row, look: look, score: sum[0], de00: sum[1], share: sum[2], at: sum[3], least: sum[4], half: sum[5] });
    });
    matches.sort(function (a, b) { return a.score - b.score; });
    return left;
  }

  function nearestBy(key) {
    return matches.reduce(function (best, match) { return match[key] < best[key] ? match : best; });
  }

  function sayReach() {
    if (!matches.length) return "";
    var nearest = nearestBy("half"), part = nearestBy("least");
    if (nearest.half <= told.outOfReach) return "";
    var said = "No piece comes nearer than ΔE00 " + say(nearest.half) +
      (whole() ? " as the mean over its area: " : " over half of its area: ") + nearest.row[NAME] + ", " +
      sayNearness(nearest.half, 0) + ".";
    if (whole() || say(part.least) === say(nearest.half)) return said;
    return said + " A smaller part of " + part.row[NAME] + " comes within ΔE00 " + say(part.least) + ".";
  }

  /* -------------------------------------------------------------- results */

  function chipOf(paint) {
    var chip = make("span", "pat-chip");
    chip.style.setProperty("--chip", paint);
    return chip;
  }

  /* Several colours beside each other, each as wide as its share. */
  function paintOf(patches) {
    var stops = [], from = 0, all = 0, i;
    for (i = 0; i < patches.length; i += 4) all += patches[i + 3];
    for (i = 0; i < patches.length; i += 4) {
      var to = from + 100 * patches[i + 3] / all;
      stops.push(sums.chip(patches.slice(i, i + 3)) + " " + from + "% " + to + "%");
      from = to;
    }
    return "linear-gradient(to right, " + stops.join(", ") + ")";
  }

  function show(row, look) {
    if (!look[SRC]) {
      var none = make("span", "pat-empty");
      none.appendChild(make("span", "", "no photograph"));
      return none;
    }
    var image = make("img");
    image.src = look[SRC];
    image.width = look[WIDE];
    image.height = look[HIGH];
    image.decoding = "async";
    image.loading = "lazy";
    image.alt = row[NAME] + ", " + told.metals[row[METAL]] + (row[WORDS] ? ", " + row[WORDS] : "");
    if (!look[CROP]) {
      if (look[OF_MAT]) image.style.setProperty("--of-mat", look[OF_MAT] + "%");
      return image;
    }
    var crop = make("span", "pat-crop"), box = look[CROP];
    var wide = box[2] - box[0], high = box[3] - box[1];
    [["wide", 1 / wide], ["high", 1 / high], ["left", -box[0] / wide], ["top", -box[1] / high]].forEach(function (part) {
      crop.style.setProperty("--" + part[0], 100 * part[1] + "%");
    });
    crop.style.setProperty("--ratio", look[WIDE] + " / " + look[HIGH]);
    if (look[OF_MAT]) crop.style.setProperty("--of-mat", look[OF_MAT] + "%");
    crop.appendChild(image);
    return crop;
  }

  function href(row) { return "pieces/" + encodeURIComponent(row[NUMBER]) + ".html"; }

  function tile(match) {
    var row = match.row, look = match.look, at = 4 * match.at;
    var lab = look[PATCHES].slice(at, at + 3);
    var item = make("li"), link = make("a", "pat-tile-link"), mat = make("span", "pat-mat");
    var words = make("span", "pat-tile-words"), metal = told.metals[row[METAL]];
    link.href = href(row);
    mat.appendChild(show(row, look));
    words.appendChild(make("b", "pat-number", row[NAME]));
    words.appendChild(make("span", "", metal));
    if (row[WORDS]) words.appendChild(make("span", "pat-soft", row[WORDS]));
    link.appendChild(mat);
    link.appendChild(words);
    item.appendChild(link);
    var chips = make("span", "pat-two-chips" + (whole() ? " pat-two-chips-over" : ""));
    chips.setAttribute("aria-hidden", "true");
    chips.appendChild(chipOf(whole() ? paintOf(wanted.tones) : wanted.hex));
    chips.appendChild(chipOf(whole() ? paintOf(look[PATCHES]) : sums.chip(lab)));
    item.appendChild(chips);
    var near = make("p", "pat-near");
    near.appendChild(document.createTextNode("ΔE00 "));
    near.appendChild(make("b", "", say(match.de00)));
    near.appendChild(make("span", "pat-soft", " u " + say(look[U])));
    near.appendChild(make("span", "", sayNearness(match.de00, look[U])));
    near.appendChild(make("span", "pat-soft", whole()
      ? "mean over the area; mostly " + nameOf(lab)
      : "on " + sayShare(match.share) + " of the area; " + nameOf(lab)));
    item.appendChild(near);
    return item;
  }

  function layMore() {
    var some = document.createDocumentFragment();
    matches.slice(laid, laid + FIRST).forEach(function (match) { some.appendChild(tile(match)); });
    laid = Math.min(matches.length, laid + FIRST);
    found.appendChild(some);
    more.hidden = laid >= matches.length;
  }

  function tellApart(left) {
    apart.hidden = !left.length;
    if (!left.length) return;
    apart.querySelector("summary").textContent = "Not known at twelve months: " + count(left);
    var list = apart.querySelector("ul");
    list.textContent = "";
    left.slice(0, FIRST).forEach(function (row) {
      var item = make("li"), link = make("a", "", row[NAME]);
      link.href = href(row);
      item.appendChild(link);
      list.appendChild(item);
    });
    if (left.length > FIRST) list.appendChild(make("li", "pat-soft", "and " + (left.length - FIRST) + " more"));
  }

  function answer() {
    waiting = false;
    var ready = !!wanted;
    one("answer").hidden = !ready;
    fields.forEach(function (field) { field.classList.toggle("pat-set", field.selectedIndex > 0); });
    if (!ready) return;
    var left = rank(), reach = sayReach();
    one("swatch").style.setProperty("--chip", whole() ? paintOf(wanted.tones) : wanted.hex);
    one("wanted").textContent = wanted.words + sayTones();
    one("warning").hidden = !wanted.uncorrected;
    offerTones();
    one("count").textContent = matches.length
      ? count(matches.map(function (match) { return match.row; })) + ", the nearest first"
      : left.length ? "None of these is known at twelve months." : "No piece is all of that. Take one of the filters away.";
    one("reach").textContent = reach;
    one("reach").hidden = !reach;
    found.textContent = "";
    laid = 0;
    layMore();
    tellApart(left);
  }

  function sayTones() {
    if (!whole()) return sayTone(wanted.tones);
    var said = [];
    for (var i = 0; i < wanted.tones.length; i += 4) {
      said.push(sayShare(wanted.tones[i + 3]) + " " + sayTone(wanted.tones.slice(i, i + 3)));
    }
    return said.join("; ");
  }

  function sayTone(lab) { return nameOf(lab) + ", " + sayLab(lab); }

  /* The colours of the piece that is gone by, to be chosen among. */
  function offerTones() {
    var patches = wanted.like ? wanted.like[LATEST][PATCHES] : [];
    one("tones").hidden = patches.length <= 4;
    tone.textContent = "";
    tone.add(new Option("all, each by its area", ""));
    for (var i = 0; i < patches.length; i += 4) {
      tone.add(new Option(sayShare(patches[i + 3]) + ": " + nameOf(patches.slice(i, i + 3)) + " alone", String(i / 4 + 1)));
    }
    tone.value = wanted.tone ? String(wanted.tone) : "";
    tone.classList.toggle("pat-set", !!wanted.tone);
  }

  /* Once a frame, however fast a colour is dragged about. */
  function ask() {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(answer);
  }

  /* -------------------------------------------------------------- address */

  function writeAddress() {
    var state = new URLSearchParams(wanted ? wanted.address : {});
    fields.forEach(function (field) { if (field.selectedIndex > 0) state.set(field.name, field.value); });
    var hash = state.toString().replace(/%2C/g, ",");
    history.replaceState(null, "", hash ? "#" + hash : location.pathname + location.search);
  }

  function readAddress() {
    var state = new URLSearchParams(location.hash.slice(1));
    fields.forEach(function (field) {
      field.value = state.get(field.name) || "";
      if (field.selectedIndex < 0) field.selectedIndex = 0;
    });
    one("unread").hidden = true;
    wanted = null;
    var like = state.get("like"), words = state.get("lab") || state.get("c") || "";
    written.value = "";
    if (like) {
      wantLike(like, Number(state.get("tone")));
    } else if (words) {
      var read = sums.read(words.replace(/,/g, " "), told.names, told.web);
      wanted = read && wish(read, state.get("from") === "picture");
      if (wanted) written.value = wanted.hex && state.get("c") ? wanted.hex : words.replace(/,/g, " ");
      else complain(sayUnread(words));
    }
    mark();
    answer();
  }

  /* One colour. `read` holds its L*a*b* and, if it was given so, its sRGB code. */
  function wish(read, uncorrected) {
    var address = read.hex ? { c: read.hex.slice(1) } : { lab: read.lab.join(",") };
    if (uncorrected) address.from = "picture";
    return {
      tones: read.lab.concat(1), hex: read.hex || sums.chip(read.lab), address: address, like: null,
      words: uncorrected ? "From a picture, uncorrected: " : "", uncorrected: !!uncorrected, tone: 0
    };
  }

  function find(name) {
    var same = name.trim().replace(/\s+/g, " ").toLowerCase();
    return [NAME, NUMBER].reduce(function (row, at) {
      return row || told.rows.filter(function (r) { return r[at].toLowerCase() === same; })[0];
    }, null);
  }

  /* Like a piece: by all its colours, or by the one at place `nth`, the largest being the first. */
  function wantLike(name, nth) {
    var row = find(name);
    wanted = null;
    if (!row) {
      complain(name + " has no reading here, so nothing can be told like it.");
      return;
    }
    var patches = row[LATEST][PATCHES], several = patches.length > 4, at = 4 * (nth - 1);
    nth = several && nth >= 1 && at < patches.length ? Math.floor(nth) : 0;
    at = 4 * Math.max(0, nth - 1);
    wanted = {
      tones: nth || !several ? patches.slice(at, at + 4) : patches, hex: sums.chip(patches.slice(at, at + 3)),
      address: nth ? { like: row[NAME], tone: nth } : { like: row[NAME] }, like: row, uncorrected: false, tone: nth,
      words: !several ? "Like " + row[NAME] + ": " : nth
        ? "Like the colour that covers " + sayShare(patches[at + 3]) + " of " + row[NAME] + ": "
        : "Like " + row[NAME] + ", all its colours by area: "
    };
  }

  function complain(words) {
    one("unread").textContent = words;
    one("unread").hidden = false;
  }

  function sayUnread(words) {
    return "“" + words + "” is not a colour this page can read. " + (sums.hasAlpha(words)
      ? told.alphaWords : "Write it as #5a9e8f, as Lab 67 -32 -7, or by a name such as teal.");
  }

  function mark() {
    if (wanted) picker.value = wanted.hex;
    written.removeAttribute("aria-invalid");
  }

  function settle() {
    one("unread").hidden = true;
    mark();
    writeAddress();
    ask();
  }

  function want(read, uncorrected) {
    wanted = wish(read, uncorrected);
    settle();
  }

  function wantHex(hex, uncorrected) { want({ lab: sums.fromHex(hex), hex: hex }, uncorrected); }

  /* --------------------------------------------------------------- typing */

  function readWritten() {
    if (!written.value.trim()) return;
    var like = /^\s*like\s+(.+)$/i.exec(written.value);
    if (like && find(like[1])) {
      wantLike(like[1], 0);
      settle();
      return;
    }
    var read = sums.read(written.value, told.names, told.web);
    if (read) {
      want(read, false);
      return;
    }
    written.setAttribute("aria-invalid", "true");
    complain(like ? like[1] + " has no reading here, so nothing can be told like it." : sayUnread(written.value.trim()));
  }

  /* ------------------------------------------------------- a picture of one's own */

  var kept = null, spot = [0, 0];

  function openPicture() {
    var picture = file.files[0];
    if (!picture) return;
    createImageBitmap(picture).then(function (image) {
      var shrink = Math.min(1, LONGEST / Math.max(image.width, image.height));
      kept = document.createElement("canvas");
      kept.width = canvas.width = Math.max(1, Math.round(image.width * shrink));
      kept.height = canvas.height = Math.max(1, Math.round(image.height * shrink));
      kept.getContext("2d", { willReadFrequently: true }).drawImage(image, 0, 0, kept.width, kept.height);
      one("own").hidden = false;
      sample(kept.width / 2, kept.height / 2);
    }, function () {
      one("own").hidden = true;
      complain(picture.name + " cannot be opened by this browser. Save it as JPEG or PNG and try again.");
    });
  }

  function side() { return Math.max(3, Math.round(Math.max(kept.width, kept.height) / SQUARE)); }

  /* The mean of a small square, in linear light. */
  function sample(x, y) {
    var s = Math.min(side(), kept.width, kept.height);
    var left = Math.round(Math.min(kept.width - s, Math.max(0, x - s / 2)));
    var top = Math.round(Math.min(kept.height - s, Math.max(0, y - s / 2)));
    var data = kept.getContext("2d").getImageData(left, top, s, s).data, sum = [0, 0, 0], n = 0;
    spot = [left + s / 2, top + s / 2];
    for (var i = 0; i < data.length; i += 4) {
      if (data[i + 3] < 255) continue; /* what can be seen through is not of the picture */
      n += 1;
      for (var k = 0; k < 3; k += 1) sum[k] += sums.decode(data[i + k] / 255);
    }
    var pen = canvas.getContext("2d"), line = Math.max(1.5, canvas.width / 300);
    pen.clearRect(0, 0, canvas.width, canvas.height);
    pen.drawImage(kept, 0, 0);
    pen.lineWidth = 2 * line;
    pen.strokeStyle = "#fff";
    pen.strokeRect(left - line, top - line, s + 2 * line, s + 2 * line);
    pen.lineWidth = line;
    pen.strokeStyle = "#000";
    pen.strokeRect(left - line, top - line, s + 2 * line, s + 2 * line);
    if (!n) {
      complain("The picture can be seen through there, so there is no colour to read. Move the square.");
      return;
    }
    var hex = sums.toHex(sum.map(function (v) { return v / n; }));
    written.value = hex;
    wantHex(hex, true);
  }

  function point(event) {
    var box = canvas.getBoundingClientRect();
    sample((event.clientX - box.left) / box.width * kept.width, (event.clientY - box.top) / box.height * kept.height);
  }

  canvas.addEventListener("pointerdown", function (event) {
    if (event.button) return;
    canvas.setPointerCapture(event.pointerId);
    point(event);
  });
  canvas.addEventListener("pointermove", function (event) {
    if (canvas.hasPointerCapture(event.pointerId)) point(event);
  });
  canvas.addEventListener("keydown", function (event) {
    var ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    var way = ways[event.key];
    if (!way || !kept) return;
    event.preventDefault();
    var step = side() * (event.shiftKey ? 4 : 0.5);
    sample(spot[0] + way[0] * step, spot[1] + way[1] * step);
  });

  /* --------------------------------------------------------------- set out */

  form.hidden = false;
  form.addEventListener("submit", function (event) { event.preventDefault(); readWritten(); });
  picker.addEventListener("input", function () { written.value = picker.value; wantHex(picker.value, false); });
  written.addEventListener("change", readWritten);
  file.addEventListener("change", openPicture);
  fields.forEach(function (field) {
    field.addEventListener("change", function () { writeAddress(); answer(); });
  });
  tone.addEventListener("change", function () {
    wantLike(wanted.like[NAME], Number(tone.value));
    settle();
  });
  more.addEventListener("click", function () {
    var first = laid;
    layMore();
    found.children[first].querySelector("a").focus();
  });
  window.addEventListener("hashchange", readAddress);
  readAddress();
})();
