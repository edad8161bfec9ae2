/* A drawing wider than its area begins at the animal in question. */
"use strict";

function showTheOneInQuestion() {
  const area = document.querySelector(".ped-area");
  const mark = area?.querySelector(".node.me");
  if (!mark) return;
  const [frame, place] = [area.getBoundingClientRect(), mark.getBoundingClientRect()];
  area.scrollLeft += place.left + place.width / 2 - (frame.left + frame.width / 2);
}

document.addEventListener("DOMContentLoaded", showTheOneInQuestion);
addEventListener("hashchange", showTheOneInQuestion);
