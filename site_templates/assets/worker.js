/* A page opened from a folder may start no worker, which the theme's search wants: here a hidden
   frame does its work. Nothing is written into the frame but the names of script files, so that
   the page's policy, which the frame has too, need allow no inline script. */
(function () {
  "use strict";
  if (location.protocol !== "file:") return;

  function load(page, address) {
    return new Promise(function (done, failed) {
      var script = page.createElement("script");
      script.src = address;
      script.onload = done;
      script.onerror = failed;
      page.body.appendChild(script);
    });
  }

  class FrameWorker extends EventTarget {
    constructor(address) {
      super();
      var worker = this, frame = document.createElement("iframe");
      frame.hidden = true;
      document.body.appendChild(frame);
      var room = frame.contentWindow, page = frame.contentDocument;
      room.postMessage = function (data) {
        worker.tell(new MessageEvent("message", { data: structuredClone(data) }));
      };
      room.importScripts = function () {
        return Array.from(arguments).reduce(function (before, next) {
          return before.then(function () { return load(page, next); });
        }, Promise.resolve());
      };
      room.addEventListener("error", function (event) {
        worker.tell(new ErrorEvent("error", { message: event.message, error: event.error }));
      });
      this.frame = frame;
      this.ready = load(page, new URL(address, location.href).href);
    }

    tell(event) {
      this.dispatchEvent(event);
      var listener = this["on" + event.type];
      if (listener) listener.call(this, event);
    }

    postMessage(data) {
      var room = this.frame.contentWindow;
      this.ready.then(function () {
        room.dispatchEvent(new MessageEvent("message", { data: structuredClone(data) }));
      });
    }

    terminate() { this.frame.remove(); }
  }

  window.Worker = FrameWorker;
})();
