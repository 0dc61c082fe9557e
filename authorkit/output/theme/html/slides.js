// Slides: one at a time, by keys, by buttons, by the links of the steps; each one's matter as large as it fits.
(function () {
  "use strict";
  var WIDTH = 1280, HEIGHT = 720, MARGIN = 48, FOOT = 64, LARGEST = 2.2, SMALLEST = 0.4, FINE = 0.02;
  document.documentElement.classList.add("scripted");
  var slides = [], at = 0;

  // Whether the matter fits into its room when it is shown `scale` times as large.
  function fits(matter, scale, room) {
    matter.style.width = (WIDTH - 2 * MARGIN) / scale + "px";
    if (matter.scrollHeight * scale > room) return false;
    if (matter.scrollWidth > matter.clientWidth + 1) return false;
    return Array.from(matter.querySelectorAll(".scroll")).every(function (region) {
      return region.scrollWidth <= region.clientWidth + 1;
    });
  }

  function fit(slide) {
    var matter = slide.querySelector(".matter"), room = HEIGHT - matter.offsetTop - FOOT;
    var low = SMALLEST, high = LARGEST;
    while (high - low > FINE) {
      var middle = (low + high) / 2;
      if (fits(matter, middle, room)) low = middle; else high = middle;
    }
    fits(matter, low, room);
    matter.style.transform = "scale(" + low + ")";
  }

  function fitWindow() {
    var scale = Math.min(innerWidth / WIDTH, innerHeight / HEIGHT);
    var stage = document.getElementById("ui-main");
    stage.style.transform = "translate(" + (innerWidth - WIDTH * scale) / 2 + "px," +
      (innerHeight - HEIGHT * scale) / 2 + "px) scale(" + scale + ")";
  }

  function show(number) {
    at = Math.min(Math.max(number, 0), slides.length - 1);
    slides.forEach(function (slide, position) { slide.classList.toggle("shown", position === at); });
    document.getElementById("ui-previous").disabled = at === 0;
    document.getElementById("ui-next").disabled = at === slides.length - 1;
    scrollTo(0, 0);
  }

  // A turn of the page is not remembered one by one; a jump along a link is, so that 'back' leads back.
  function turn(number) {
    show(number);
    history.replaceState(null, "", "#" + slides[at].id);
  }

  function followAddress() {
    var target = document.getElementById(decodeURIComponent(location.hash.slice(1)));
    var slide = target && target.closest(".slide");
    if (slide) show(slides.indexOf(slide));
  }

  var KEYS = {
    ArrowRight: function () { turn(at + 1); }, ArrowDown: function () { turn(at + 1); },
    PageDown: function () { turn(at + 1); }, " ": function () { turn(at + 1); },
    ArrowLeft: function () { turn(at - 1); }, ArrowUp: function () { turn(at - 1); },
    PageUp: function () { turn(at - 1); },
    Home: function () { turn(0); }, End: function () { turn(slides.length - 1); }
  };

  document.addEventListener("keydown", function (event) {
    if (event.ctrlKey || event.altKey || event.metaKey || !KEYS[event.key]) return;
    if (event.key === " " && event.target.closest("a, button")) return;
    event.preventDefault();
    KEYS[event.key]();
  });

  document.addEventListener("DOMContentLoaded", function () {
    slides = Array.from(document.querySelectorAll(".slide"));
    document.getElementById("ui-turn").hidden = false;
    document.getElementById("ui-previous").addEventListener("click", function () { turn(at - 1); });
    document.getElementById("ui-next").addEventListener("click", function () { turn(at + 1); });
    addEventListener("resize", fitWindow);
    addEventListener("hashchange", followAddress);
    fitWindow();
    show(0);
    followAddress();
    slides.forEach(fit);
    if (document.fonts) document.fonts.ready.then(function () { slides.forEach(fit); });
  });
})();
