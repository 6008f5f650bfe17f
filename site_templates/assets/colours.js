/* Sums on colours for the page that finds pieces by colour: the same as spaces.py and difference.py
   of builder/measure and colour_matches.py, colour_names.py and colour_spelling.py of
   builder/relate, and held to the same tables. L*a*b* is for D65, 2° observer. */
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
  var WHITE_D50 = [0.9642956764295677, 1, 0.8251046025104602];
  /* XYZ under D50 → XYZ under D65. Source: the linear Bradford transform of ICC.1. */
  var FROM_D50 = [
    [0.9554734214880751, -0.02309845494876461, 0.06325924320057065],
    [-0.028369709333863714, 1.009995398081304, 0.021041441191917313],
    [0.012314014864481995, -0.020507649298898957, 1.330365926242124]
  ];
  var DELTA = 6 / 29;
  var TURN = Math.PI / 180;
  var MOST = 150; /* of a* and b*: beyond lies no colour of a surface */
  var PER_CENT_OF_AB = 1.25; /* CSS Color 4: 100 % of a* or b* in lab() is 125 */
  var NOTHING = 1e-9; /* of an area or a ΔE00: what sums leave over */

  function decode(v) { return v <= 0.04045 ? v / 12.92 : Math.pow((v + 0.055) / 1.055, 2.4); }
  function encode(v) { return v <= 0.04045 / 12.92 ? v * 12.92 : 1.055 * Math.pow(v, 1 / 2.4) - 0.055; }

  function times(matrix, v) {
    return matrix.map(function (row) { return row[0] * v[0] + row[1] * v[1] + row[2] * v[2]; });
  }

  /* XYZ → L*a*b* and back. Source: CIE 15:2004. */
  function fromXyz(xyz) {
    var f = xyz.map(function (value, i) {
      var t = value / WHITE[i];
      return t > DELTA * DELTA * DELTA ? Math.cbrt(t) : t / (3 * DELTA * DELTA) + 4 / 29;
    });
    return [116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])];
  }

  function toXyz(lab, white) {
    var fy = (lab[0] + 16) / 116;
    return [fy + lab[1] / 500, fy, fy - lab[2] / 200].map(function (f, i) {
      return white[i] * (f > DELTA ? f * f * f : 3 * DELTA * DELTA * (f - 4 / 29));
    });
  }

  /* "#5a9e8f" → L*a*b*. */
  function fromHex(hex) {
    return fromXyz(times(TO_XYZ, [1, 3, 5].map(function (at) { return decode(parseInt(hex.slice(at, at + 2), 16) / 255); })));
  }

  function toHex(rgb) {
    return "#" + rgb.map(function (v) {
      return ("0" + Math.round(encode(Math.min(1, Math.max(0, v))) * 255).toString(16)).slice(-2);
    }).join("");
  }

  /* L*a*b* → "#5a9e8f", clipped to sRGB: for show only. */
  function chip(lab) { return toHex(times(FROM_XYZ, toXyz(lab, WHITE))); }

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

  /* How far apart two surfaces are, part laid upon part: the mean ΔE00 over the area, with the parts
     laid so that it is the least. `patches` and `tones` are L*, a*, b*, share of one after the
     other. The sum stands at lay_over in colour_matches.py. */
  function layOver(patches, tones) {
    var left = shares(patches), room = shares(tones), mean = 0;
    var cost = left.map(function (_, i) {
      return room.map(function (_, j) {
        return deltaE(patches[4 * i], patches[4 * i + 1], patches[4 * i + 2], tones[4 * j], tones[4 * j + 1], tones[4 * j + 2]);
      });
    });
    var laid = left.map(function () { return room.map(function () { return 0; }); });
    while (Math.max.apply(null, left) > NOTHING && Math.max.apply(null, room) > NOTHING) {
      var path = findPath(cost, laid, left, room), first = path[0][0], last = path[path.length - 1][1];
      var part = path.reduce(function (least, step, at) {
        return at % 2 ? Math.min(least, laid[step[0]][step[1]]) : least;
      }, Math.min(left[first], room[last]));
      path.forEach(function (step, at) { laid[step[0]][step[1]] += at % 2 ? -part : part; });
      left[first] -= part;
      room[last] -= part;
    }
    cost.forEach(function (row, i) { row.forEach(function (value, j) { mean += value * laid[i][j]; }); });
    return mean;
  }

  function shares(patches) {
    var each = patches.filter(function (_, at) { return at % 4 === 3; });
    var all = each.reduce(function (sum, share) { return sum + share; }, 0);
    return each.map(function (share) { return share / all; });
  }

  /* The cheapest way to lay a part that is left where there is room: [i, j] that gain by turns with
     [i, j] that lose what was laid. */
  function findPath(cost, laid, left, room) {
    var here = left.map(function (share) { return share > NOTHING ? 0 : Infinity; });
    var there = room.map(function () { return Infinity; });
    var ways = left.map(function () { return []; }), came = room.map(function () { return []; });
    for (var moved = true; moved;) {
      moved = false;
      for (var i = 0; i < left.length; i += 1) {
        for (var j = 0; j < room.length; j += 1) {
          if (here[i] + cost[i][j] < there[j] - NOTHING) {
            there[j] = here[i] + cost[i][j];
            came[j] = ways[i].concat([[i, j]]);
            moved = true;
          }
          if (laid[i][j] > NOTHING && there[j] - cost[i][j] < here[i] - NOTHING) {
            here[i] = there[j] - cost[i][j];
            ways[i] = came[j].concat([[i, j]]);
            moved = true;
          }
        }
      }
    }
    var best = -1;
    room.forEach(function (share, at) {
      if (share > NOTHING && (best < 0 || there[at] < there[best])) best = at;
    });
    return came[best];
  }

  /* A figure to so many places as the pages written beforehand have it: the nearest, a half that is
     one exactly to the even neighbour. */
  function say(number, places) {
    places = places === undefined ? 1 : places;
    var size = Math.abs(number), scaled = size * Math.pow(10, places);
    var half = scaled % 1 === 0.5 && size * 4 % 1 === 0;
    var words = half ? (2 * Math.round(scaled / 2) / Math.pow(10, places)).toFixed(places) : size.toFixed(places);
    return (number < 0 && Number(words) ? "\u2212" : "") + words;
  }

  /* The name of a colour: a neutral by its block, of `neutrals` (name, L* from which, reach from the
     grey axis at twelve hue angles), else by the nearest middle, of `names` (name, L*, a*, b*). */
  function nameOf(lab, names, neutrals) {
    var hue = (Math.atan2(lab[2], lab[1]) / TURN + 360) % 360 / 30, at = Math.floor(hue) % 12;
    var block = neutrals.filter(function (one) { return lab[0] >= one[1]; })[0] || neutrals[neutrals.length - 1];
    var reach = block[2 + at] + (hue - Math.floor(hue)) * (block[2 + (at + 1) % 12] - block[2 + at]);
    if (Math.hypot(lab[1], lab[2]) <= reach) return block[0];
    var least = Infinity, name = "";
    names.forEach(function (one) {
      if (neutrals.some(function (grey) { return grey[0] === one[0]; })) return;
      var d = deltaE(lab[0], lab[1], lab[2], one[1], one[2], one[3]);
      if (d < least) { least = d; name = one[0]; }
    });
    return name;
  }

  /* ---- colours as written: the same as builder/relate/colour_spelling.py, which says what is read */

  var NUMBER = "[-+]?(?:\\d+(?:\\.\\d+)?|\\.\\d+)", BETWEEN = "[ ,;/]+";
  var LAB = new RegExp(
    "^(?:cie ?)?(?:lab|l\\*? ?a\\*? ?b\\*?)?[ :=]*" +
    "(?:l\\*? ?[:=]? ?)?(" + NUMBER + ")" + BETWEEN + "(?:a\\*? ?[:=]? ?)?(" + NUMBER + ")" + BETWEEN +
    "(?:b\\*? ?[:=]? ?)?(" + NUMBER + ")$");
  var HEX = /^#?([0-9a-f]{6}|[0-9a-f]{3})$/;
  var FUNCTION = /^(rgba?|hsla?|lab)\((.*)\)$/;
  var PART = new RegExp("^(" + NUMBER + ")(%|deg)?$");
  var SEE_THROUGH = /^(?:#?[0-9a-f]{8}|#[0-9a-f]{4}|(?:rgba?|hsla?|lab)\(.*(?:\/|,.*,.*,).*\))$/;

  function tidy(words) { return words.replace(/\u2212/g, "-").toLowerCase().trim().replace(/\s+/g, " "); }

  function hasAlpha(words) { return SEE_THROUGH.test(tidy(words)); }

  function whole(digits) { return "#" + (digits.length === 6 ? digits : digits.replace(/./g, "$&$&")); }

  /* sRGB, 0 to 1, clipped and taken to 8 bits → "#5a9e8f". */
  function fromLevels(levels) {
    return "#" + levels.map(function (v) {
      return ("0" + Math.floor(Math.min(1, Math.max(0, v)) * 255 + 0.5).toString(16)).slice(-2);
    }).join("");
  }

  function keep(lab) {
    lab = lab.map(function (v) { return Math.floor(v * 10 + 0.5) / 10 + 0; });
    var fits = lab[0] >= 0 && lab[0] <= 100 && Math.abs(lab[1]) <= MOST && Math.abs(lab[2]) <= MOST;
    return fits ? { lab: lab, hex: "" } : null;
  }

  function readFunction(name, inside) {
    var commas = inside.indexOf(",") >= 0;
    if (commas && name === "lab") return null;
    var parts = (commas ? inside.split(",") : inside.trim().split(" ")).map(function (part) { return PART.exec(part.trim()); });
    if (parts.length !== 3 || parts.indexOf(null) >= 0) return null;
    var n = parts.map(function (part) { return Number(part[1]); });
    var units = parts.map(function (part) { return part[2] || ""; });
    if (units.slice(name === "hsl" ? 1 : 0).indexOf("deg") >= 0) return null;
    if (name === "lab") {
      var given = [n[0], units[1] ? n[1] * PER_CENT_OF_AB : n[1], units[2] ? n[2] * PER_CENT_OF_AB : n[2]];
      return keep(given) && keep(fromXyz(times(FROM_D50, toXyz(given, WHITE_D50))));
    }
    if (name === "hsl") return units[0] === "%" ? null : { hex: fromHsl(n[0], n[1], n[2]) };
    if (units[0] !== units[1] || units[1] !== units[2]) return null;
    return { hex: fromLevels(n.map(function (v) { return units[0] ? v / 100 : v / 255; })) };
  }

  function fromHsl(hue, saturation, lightness) {
    var light = Math.min(1, Math.max(0, lightness / 100));
    var strength = Math.min(1, Math.max(0, saturation / 100)) * Math.min(light, 1 - light);
    return fromLevels([0, 8, 4].map(function (start) {
      var k = (start + ((hue % 360) + 360) % 360 / 30) % 12;
      return light - strength * Math.max(-1, Math.min(k - 3, 9 - k, 1));
    }));
  }

  /* A colour as written → its L*a*b* and, where it was given in sRGB, its code; null for what is
     none. `names` as above, `web` the codes of style sheets' names. */
  function read(words, names, web) {
    words = tidy(words);
    var found, colour = null;
    if ((found = HEX.exec(words))) colour = { hex: whole(found[1]) };
    else if ((found = FUNCTION.exec(words))) colour = readFunction(found[1].slice(0, 3), found[2]);
    else if ((found = LAB.exec(words))) colour = keep(found.slice(1).map(Number));
    else {
      var wanted = words.replace(/gray/g, "grey").replace(/-/g, " ").replace(/ +/g, " ").trim();
      found = names.filter(function (one) { return one[0] === wanted; })[0];
      if (found) colour = { lab: found.slice(1), hex: "" };
      else if (Object.prototype.hasOwnProperty.call(web, words)) colour = { hex: "#" + web[words] };
    }
    if (colour && colour.hex) colour.lab = fromHex(colour.hex);
    return colour;
  }

  root.patColours = {
    chip: chip, decode: decode, deltaE: deltaE, fromHex: fromHex, hasAlpha: hasAlpha, layOver: layOver,
    nameOf: nameOf, read: read, say: say, score: score, toHex: toHex
  };
})(window);
