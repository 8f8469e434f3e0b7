(function () {
  var input = document.getElementById("words"), found = document.getElementById("found");
  var blocks = Array.prototype.slice.call(document.querySelectorAll(".find"));
  var texts = blocks.map(function (b) { return b.textContent.toLowerCase(); });
  var sections = Array.prototype.slice.call(document.querySelectorAll("main section")).reverse();
  function look() {
    var words = input.value.toLowerCase().split(/\s+/).filter(Boolean), count = 0;
    blocks.forEach(function (block, at) {
      var hit = words.every(function (word) { return texts[at].indexOf(word) >= 0; });
      block.hidden = !hit;
      if (hit) { count += 1; }
    });
    document.querySelectorAll("main table, main ul").forEach(function (list) {
      list.hidden = words.length > 0 && !list.querySelector(".find:not([hidden])");
    });
    document.querySelectorAll("main h4").forEach(function (lead) {
      var next = lead.nextElementSibling;
      lead.hidden = words.length > 0 && (!next || next.hidden);
    });
    sections.forEach(function (section) {
      section.hidden = words.length > 0 && !section.querySelector(".find:not([hidden])");
    });
    found.textContent = words.length === 0 ? "" : count === 1 ? "1 place" : count + " places";
  }
  input.addEventListener("input", look);
  document.getElementById("search").addEventListener("submit", function (event) { event.preventDefault(); });
}());
