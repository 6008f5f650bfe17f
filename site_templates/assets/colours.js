/* Sums on colours for the page that finds pieces by colour: the same as builder/measure/spaces.py,
   difference.py and builder/relate/colour_matches.py, and held to the same tables. L*a*b* is for
   D65, 2° observer. */
(function (root) {
  "use strict";

  /* Linear sRGB → XYZ. Source: IEC 61966-2-1:1999, by SMPTE RP 177-1993. */
  var TO_XYZ = [
    [0.4123907992659594, 0.357584339383878, 0.1804807884018343],
    [0.2126390058715103, 0.7151686787677559, 0.0721923153607337],
    [0.0193308187155918, 0.1191947797946260, 0.9505321522496607]
  ];
  var FROM_XYZ = [
    [3.2409699419045213, -1.5373831775700932, -0.4986107602930032],
    [-0.9692436362808794, 1.8759675015077202, 0.0415550574071756],
    [0.0556300796969936, -0.2039769588889765, 1.0569715142428784]
  ];
  var WHITE = [0.9504559270516716, 1, 1.0890577507598784];
  var DELTA = 6 / 29;
  var TURN = Math.PI / 180;
  var MOST = 150; /* of a* and b*: beyond lies no colour of a surface */

  function decode(v) { return v <= 0.04045 ? v / 12.92 : Math.pow((v + 0.055) / 1.055, 2.4); }
  function encode(v) { return v <= 0.04045 / 12.92 ? v * 12.92 : 1.055 * Math.pow(v, 1 / 2.4) - 0.055; }

  function times(matrix, v) {
    return matrix.map(function (row) { return row[0] * v[0] + row[1] * v[1] + row[2] * v[2]; });
  }

  /* Linear sRGB, 0 to 1 → L*a*b*. Source: CIE 15:2004. */
  function fromLinear(rgb) {
    var f = times(TO_XYZ, rgb).map(function (value, i) {
      var t = value / WHITE[i];
      return t > DELTA * DELTA * DELTA ? Math.cbrt(t) : t / (3 * DELTA * DELTA) + 4 / 29;
    });
    return [116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])];
  }

  /* "#5a9e8f" → L*a*b*. */
  function fromHex(hex) {
    return fromLinear([1, 3, 5].map(function (at) { return decode(parseInt(hex.slice(at, at + 2), 16) / 255); }));
  }

  function toHex(rgb) {
    return "#" + rgb.map(function (v) {
      return ("0" + Math.round(encode(Math.min(1, Math.max(0, v))) * 255).toString(16)).slice(-2);
    }).join("");
  }

  /* L*a*b* → "#5a9e8f", clipped to sRGB: for show only. */
  function chip(lab) {
    var fy = (lab[0] + 16) / 116;
    var xyz = [fy + lab[1] / 500, fy, fy - lab[2] / 200].map(function (f, i) {
      return WHITE[i] * (f > DELTA ? f * f * f : 3 * DELTA * DELTA * (f - 4 / 29));
    });
    return toHex(times(FROM_XYZ, xyz));
  }

  /* ΔE00 of two colours. Source, with its equation numbers: Sharma, Wu and Dalal, Color Research
     and Application 30(1):21-30 (2005). */
  function deltaE(L1, a1, b1, L2, a2, b2) {
    var mean7 = Math.pow((Math.hypot(a1, b1) + Math.hypot(a2, b2)) / 2, 7); /* (2), (3) */
    var g = 1 + 0.5 * (1 - Math.sqrt(mean7 / (mean7 + 6103515625))); /* (4) */
    a1 *= g; a2 *= g; /* (5) */
    var C1 = Math.hypot(a1, b1), C2 = Math.hypot(a2, b2); /* (6) */
    var h1 = (Math.atan2(b1, a1) / TURN + 360) % 360, h2 = (Math.atan2(b2, a2) / TURN + 360) % 360; /* (7) */
    var grey = C1 * C2 === 0, step = h2 - h1, both = h1 + h2;
    var dh = grey ? 0 : step > 180 ? step - 360 : step < -180 ? step + 360 : step; /* (10) */
    var dH = 2 * Math.sqrt(C1 * C2) * Math.sin(dh * TURN / 2); /* (11) */
    var L = (L1 + L2) / 2, C = (C1 + C2) / 2; /* (12), (13) */
    var h = grey ? both : Math.abs(step) <= 180 ? both / 2 : both < 360 ? (both + 360) / 2 : (both - 360) / 2; /* (14) */
    var T = 1 - 0.17 * Math.cos((h - 30) * TURN) + 0.24 * Math.cos(2 * h * TURN) +
      0.32 * Math.cos((3 * h + 6) * TURN) - 0.20 * Math.cos((4 * h - 63) * TURN); /* (15) */
    var turn = 30 * Math.exp(-Math.pow((h - 275) / 25, 2)); /* (16) */
    var C7 = Math.pow(C, 7), rc = 2 * Math.sqrt(C7 / (C7 + 6103515625)); /* (17) */
    var off = (L - 50) * (L - 50);
    var tL = (L2 - L1) / (1 + 0.015 * off / Math.sqrt(20 + off)); /* (8), (18) */
    var tC = (C2 - C1) / (1 + 0.045 * C); /* (9), (19) */
    var tH = dH / (1 + 0.015 * C * T); /* (20) */
    var rt = -Math.sin(2 * turn * TURN) * rc; /* (21) */
    return Math.sqrt(Math.max(tL * tL + tC * tC + tH * tH + rt * tC * tH, 0)); /* (22) */
  }

  /* How near a piece comes to `lab`: `patches` is L*, a*, b*, share of one after the other, `cost`
     what is paid if no area counts. The formula stands at score_patches in colour_matches.py.
     Gives score, ΔE00, share, the place of the patch it is told by, the nearest patch's ΔE00, and
     that within which half of the area told lies. */
  function score(lab, patches, cost) {
    var near = [], all = 0, within = 0, half = Infinity, best = [Infinity, 0, 0, 0];
    for (var i = 0; i < patches.length; i += 4) {
      if (patches[i + 3] > 0) {
        near.push([deltaE(patches[i], patches[i + 1], patches[i + 2], lab[0], lab[1], lab[2]), patches[i + 3], i / 4]);
        all += patches[i + 3];
      }
    }
    near.sort(function (one, two) { return one[0] - two[0]; });
    for (var k = 0; k < near.length; k += 1) {
      within = Math.min(1, within + near[k][1]);
      if (half === Infinity && within >= all / 2) half = near[k][0];
      var sum = near[k][0] + cost * (1 - within);
      if (sum < best[0]) best = [sum, near[k][0], within, near[k][2]];
    }
    return best.concat(near.length ? near[0][0] : Infinity, half);
  }

  /* The systematic name of a colour, of `names`: name, L*, a*, b* each. */
  function nameOf(lab, names) {
    var least = Infinity, name = "";
    names.forEach(function (one) {
      var d = deltaE(lab[0], lab[1], lab[2], one[1], one[2], one[3]);
      if (d < least) { least = d; name = one[0]; }
    });
    return name;
  }

  var NUMBER = "([-+]?\\d+(?:\\.\\d+)?)\\s*%?", BETWEEN = "[\\s,;/]+";
  var LAB = new RegExp(
    "^(?:cie\\s*)?(?:lab|l\\*?\\s*a\\*?\\s*b\\*?)?[\\s:=(]*" +
    "(?:l\\*?\\s*[:=]?\\s*)?" + NUMBER + BETWEEN + "(?:a\\*?\\s*[:=]?\\s*)?" + NUMBER + BETWEEN +
    "(?:b\\*?\\s*[:=]?\\s*)?" + NUMBER + "\\s*\\)?$", "i");

  /* A colour as written → L*a*b*; null for what is none. */
  function read(words, names) {
    words = words.trim().replace(/\u2212/g, "-");
    var hex = /^#?([0-9a-f]{6}|[0-9a-f]{3})$/i.exec(words);
    if (hex) return fromHex("#" + (hex[1].length === 6 ? hex[1] : hex[1].replace(/./g, "$&$&")));
    var numbers = LAB.exec(words);
    if (numbers) {
      var lab = numbers.slice(1).map(Number);
      var fits = lab[0] >= 0 && lab[0] <= 100 && Math.abs(lab[1]) <= MOST && Math.abs(lab[2]) <= MOST;
      return fits ? lab : null;
    }
    var wanted = words.toLowerCase().replace(/gray/g, "grey").replace(/[\s-]+/g, " ");
    var named = names.filter(function (one) { return one[0] === wanted; })[0];
    return named ? named.slice(1) : readStyle(words);
  }

  /* A colour as style sheets name it, read by the browser itself. */
  function readStyle(words) {
    var pen = document.createElement("canvas").getContext("2d");
    var read = ["#000000", "#ffffff"].map(function (before) {
      pen.fillStyle = before;
      pen.fillStyle = words;
      return pen.fillStyle;
    });
    return read[0] === read[1] && /^#[0-9a-f]{6}$/.test(read[0]) ? fromHex(read[0]) : null;
  }

  root.patColours = {
    chip: chip, decode: decode, deltaE: deltaE, fromHex: fromHex, nameOf: nameOf, read: read,
    score: score, toHex: toHex
  };
})(window);
