// Binds the calculators of each page as it is turned to, and keeps the handbook for offline use.

import { flushAddress } from "./address.mjs";
import { bindPage, openAddress } from "./form.mjs";
import { showOffline, startOffline } from "./offline.mjs";

function begin() {
  bindPage();
  showOffline();
}

if (!globalThis.ftPage) {
  globalThis.ftPage = true;
  if (globalThis.document$) globalThis.document$.subscribe(begin);
  else if (document.readyState === "loading") addEventListener("DOMContentLoaded", begin);
  else begin();
  addEventListener("hashchange", openAddress);
  addEventListener("pagehide", flushAddress);
  document.addEventListener("click", flushAddress, true); // before a link is followed
  if (document.readyState === "complete") startOffline();
  else addEventListener("load", startOffline);
}
