/* What a page does beyond htmx: toasts that leave after a minute, the offline line, offers chosen by key. */
"use strict";

document.documentElement.classList.add("js");

const MINUTE = 60_000;

function leaveLater(root) {
  for (const toast of root.querySelectorAll(".toasts .toast")) {
    setTimeout(() => toast.remove(), MINUTE);
  }
}

function sayOffline(isOffline) {
  const line = document.getElementById("offline");
  if (line) line.hidden = !isOffline;
}

/* A button in a list of offers puts its value into the field it names; the page also works by its links and forms. */
function takeOffer(event) {
  const offer = event.target.closest("[data-fill]");
  if (!offer) return;
  event.preventDefault();
  const field = document.getElementById(offer.dataset.fill);
  field.value = offer.dataset.value;
  offer.closest(".offers").replaceChildren();
  field.focus();
  field.dispatchEvent(new Event("change", { bubbles: true }));
}

function closeOffers(event) {
  if (event.key !== "Escape") return;
  for (const list of document.querySelectorAll(".offers[data-live]")) list.replaceChildren();
}

document.addEventListener("DOMContentLoaded", () => leaveLater(document));
document.addEventListener("htmx:afterSwap", (event) => leaveLater(event.target));
document.addEventListener("click", takeOffer);
document.addEventListener("keydown", closeOffers);
document.addEventListener("htmx:sendError", () => sayOffline(true));
document.addEventListener("htmx:afterOnLoad", () => sayOffline(false));
addEventListener("offline", () => sayOffline(true));
addEventListener("online", () => sayOffline(false));
