"use strict";
(function () {
  var form = document.getElementById("filter");
  if (!form) { return; }
  var articles = Array.prototype.slice.call(document.querySelectorAll("article.finding"));
  var groups = Array.prototype.slice.call(document.querySelectorAll("section.group"));
  var texts = null;
  var count = document.getElementById("filter-count");
  function apply() {
    var words = form.elements.words.value.toLowerCase().split(/\s+/).filter(Boolean);
    var rule = form.elements.rule.value;
    var severities = {};
    ["error", "warning", "note"].forEach(function (name) { severities[name] = form.elements[name].checked; });
    if (words.length && !texts) {
      texts = articles.map(function (article) { return article.textContent.toLowerCase(); });
    }
    var shown = 0;
    articles.forEach(function (article, index) {
      var fits = severities[article.dataset.severity] && (!rule || article.dataset.rule === rule) &&
        words.every(function (word) { return texts[index].indexOf(word) >= 0; });
      article.hidden = !fits;
      if (fits) { shown += 1; }
    });
    groups.forEach(function (group) { group.hidden = !group.querySelector("article:not([hidden])"); });
    count.textContent = shown + " of " + articles.length + " entries shown";
    count.classList.toggle("filtered", shown < articles.length);
  }
  var waiting = 0;
  form.addEventListener("input", function () { clearTimeout(waiting); waiting = setTimeout(apply, 150); });
  form.addEventListener("submit", function (event) { event.preventDefault(); apply(); });
  form.addEventListener("reset", function () { setTimeout(apply, 0); });
  function reveal() {
    var target = document.getElementById(decodeURIComponent(location.hash.slice(1)));
    if (target && target.closest("[hidden]")) { form.reset(); }
  }
  window.addEventListener("hashchange", reveal);
  form.hidden = false;
  apply();
})();
