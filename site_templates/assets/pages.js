/* The slider and the closer look. Plain scripts, so that a page opened
   from a folder runs them; without them every page still shows all it has. */
(function () {
  "use strict";

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

  Array.prototype.forEach.call(document.querySelectorAll(".pat-strip"), tellOfMore);
  Array.prototype.forEach.call(document.querySelectorAll("[data-pat-slider]"), setUpSlider);
  openCloserLook();
})();
