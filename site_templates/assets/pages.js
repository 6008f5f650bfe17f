/* Filter and sort of the wall, the slider, the closer look. Plain scripts, so that a page opened
   from a folder runs them; without them every page still shows all it has. */
(function () {
  "use strict";

  /* ------------------------------------------------------------------ the wall */

  function hangWall() {
    var form = document.querySelector("[data-pat-filter]");
    var wall = document.querySelector("[data-pat-wall]");
    if (!form || !wall) return;
    var tiles = Array.prototype.slice.call(wall.children);
    var count = form.querySelector("[data-pat-count]");
    var none = document.querySelector("[data-pat-none]");
    var reset = form.querySelector("button");
    var fields = Array.prototype.slice.call(form.querySelectorAll("select"));
    var sorts = {
      number: function (a, b) { return a.dataset.number - b.dataset.number; },
      hue: function (a, b) { return a.dataset.hue - b.dataset.hue || sorts.lightness(a, b); },
      lightness: function (a, b) { return a.dataset.lightness - b.dataset.lightness || sorts.number(a, b); },
      date: function (a, b) { return b.dataset.date.localeCompare(a.dataset.date) || sorts.number(a, b); }
    };

    function readAddress() {
      var wanted = new URLSearchParams(location.hash.slice(1));
      fields.forEach(function (field) {
        field.value = wanted.get(field.name) || field.options[0].value;
        if (field.selectedIndex < 0) field.selectedIndex = 0;
      });
      show();
    }

    function writeAddress() {
      var wanted = new URLSearchParams();
      fields.forEach(function (field) {
        if (field.selectedIndex > 0) wanted.set(field.name, field.value);
      });
      var hash = wanted.toString();
      history.replaceState(null, "", hash ? "#" + hash : location.pathname + location.search);
    }

    function show() {
      var shown = 0, any = false, order = "number";
      tiles.forEach(function (tile) { tile.hidden = false; });
      fields.forEach(function (field) {
        var set = field.selectedIndex > 0;
        field.classList.toggle("pat-set", set);
        any = any || set;
        if (field.name === "sort") { order = field.value; return; }
        if (!set) return;
        tiles.forEach(function (tile) {
          var values = tile.getAttribute("data-" + field.name).split("\n");
          if (values.indexOf(field.value) < 0) tile.hidden = true;
        });
      });
      tiles.slice().sort(sorts[order]).forEach(function (tile) {
        wall.appendChild(tile);
        if (!tile.hidden) shown += 1;
      });
      count.textContent = shown + " of " + tiles.length + " pieces";
      none.hidden = shown > 0;
      reset.hidden = !any;
    }

    form.hidden = false;
    form.addEventListener("change", function () { writeAddress(); show(); });
    form.addEventListener("submit", function (event) { event.preventDefault(); });
    form.addEventListener("reset", function (event) {
      event.preventDefault();
      fields.forEach(function (field) { field.selectedIndex = 0; });
      writeAddress();
      show();
    });
    window.addEventListener("hashchange", readAddress);
    readAddress();
  }

  /* ---------------------------------------------------------------- the slider */

  function setUpSlider(slider) {
    var input = slider.querySelector("input");
    slider.classList.add("pat-slider-live");
    input.hidden = false;

    function cut() {
      slider.style.setProperty("--cut", input.value + "%");
      input.setAttribute("aria-valuetext", input.value + " per cent of the left picture");
    }

    /* The whole picture is the handle, on touch screens too, where a range listens to its thumb. */
    function follow(event) {
      var box = slider.getBoundingClientRect();
      var share = (event.clientX - box.left) / box.width;
      input.value = Math.round(Math.min(1, Math.max(0, share)) * 100);
      cut();
    }

    input.addEventListener("input", cut);
    input.addEventListener("pointerdown", function (event) {
      if (event.button) return;
      input.setPointerCapture(event.pointerId);
      follow(event);
    });
    input.addEventListener("pointermove", function (event) {
      if (input.hasPointerCapture(event.pointerId)) follow(event);
    });
    cut();
  }

  /* ------------------------------------------------------------ the closer look */

  function openCloserLook() {
    if (!window.PhotoSwipeLightbox || !window.PhotoSwipe) return;
    var still = matchMedia("(prefers-reduced-motion: reduce)").matches;
    var closer = new window.PhotoSwipeLightbox({
      gallery: ".pat-page",
      children: "a.pat-zoom",
      pswpModule: window.PhotoSwipe,
      showHideAnimationType: still ? "none" : "fade",
      bgOpacity: 1,
      wheelToZoom: true,
      padding: { top: 20, bottom: 56, left: 8, right: 8 }
    });
    closer.on("uiRegister", function () {
      closer.pswp.ui.registerElement({
        name: "words",
        className: "pat-closer-words",
        appendTo: "root",
        onInit: function (element, pswp) {
          pswp.on("change", function () {
            var link = pswp.currSlide.data.element;
            element.textContent = link ? link.getAttribute("data-caption") : "";
          });
        }
      });
    });
    closer.init();
  }

  /* ------------------------------------------- rows wider than the page say so */

  function tellOfMore(strip) {
    var words = document.createElement("p");
    words.className = "pat-sideways";
    words.textContent = "Goes on: scroll sideways \u2192";
    strip.parentNode.insertBefore(words, strip.nextSibling);

    function tell() {
      var over = strip.scrollWidth - strip.clientWidth;
      var right = strip.scrollLeft < over - 2, left = strip.scrollLeft > 2;
      strip.setAttribute("data-more", (left ? "left " : "") + (right ? "right" : ""));
      words.hidden = over <= 2;
    }

    strip.addEventListener("scroll", tell, { passive: true });
    addEventListener("resize", tell);
    addEventListener("load", tell);
    tell();
  }

  hangWall();
  Array.prototype.forEach.call(document.querySelectorAll(".pat-strip"), tellOfMore);
  Array.prototype.forEach.call(document.querySelectorAll("[data-pat-slider]"), setUpSlider);
  openCloserLook();
})();
