/* Ticks and strokes wait here while the wifi is away: each has an id, is sent in turn, and is entered once. */
(function () {
  "use strict";
  var KEY = "larder-waiting", busy = false, lost = false;
  document.documentElement.classList.add("script");

  function waiting() {
    try { return JSON.parse(localStorage.getItem(KEY)) || []; } catch (_) { return []; }
  }
  function keep(all) {
    try { localStorage.setItem(KEY, JSON.stringify(all)); return true; } catch (_) { return false; }
  }
  function newId() {
    var bytes = new Uint8Array(12), text = "";
    crypto.getRandomValues(bytes);
    bytes.forEach(function (b) { text += b.toString(16).padStart(2, "0"); });
    return text;
  }
  function token() { return document.querySelector("meta[name=form-token]").content; }

  function paint() {
    var all = waiting(), box = document.getElementById("waiting");
    document.querySelectorAll("[data-waiting]").forEach(function (f) { f.removeAttribute("data-waiting"); });
    all.forEach(function (one) {
      if (!one.row) { return; }
      document.querySelectorAll('form[data-row="' + one.row + '"]').forEach(function (form) {
        form.setAttribute("data-waiting", one.kind);
      });
    });
    if (!box) { return; }
    box.hidden = !all.length || !lost;
    var words = all.length === 1 ? "1 tick or stroke waits" : all.length + " ticks and strokes wait";
    if (!box.hidden && box.dataset.words !== words) {
      box.dataset.words = words;
      box.textContent = words + " for the wifi: " + all.map(function (o) { return o.what; }).slice(0, 5).join(", ") +
        (all.length > 5 ? " and more" : "") + ". Leave the page as it is, or come back to it.";
    }
    if (box.hidden) { box.textContent = ""; box.dataset.words = ""; }
  }

  function trouble(words) {
    var said = document.getElementById("said"), box = document.createElement("div");
    if (!said) { return; }
    box.className = "note trouble";
    box.setAttribute("role", "alert");
    words.split("\n").forEach(function (line) {
      var p = document.createElement("p");
      p.textContent = line;
      box.appendChild(p);
    });
    said.replaceChildren(box);
  }

  function put(one, text) {
    var target = document.getElementById(one.target);
    if (!target) { return; }
    var held = document.activeElement && document.activeElement.id;
    target.innerHTML = text;
    if (window.htmx) { window.htmx.process(target); }
    if (held && document.getElementById(held)) { document.getElementById(held).focus({ preventScroll: true }); }
  }

  function done(one) { keep(waiting().filter(function (o) { return o.id !== one.id; })); }

  function send() {
    var one = waiting()[0];
    if (busy || !one) { return; }
    busy = true;
    var body = new URLSearchParams(one.fields);
    body.set("key", one.id);
    body.set("token", token());
    fetch(one.to, {
      method: "POST", body: body, credentials: "same-origin", redirect: "error",
      headers: { "x-queue": "1", "x-form-token": token() }
    }).then(function (answer) {
      return answer.text().then(function (text) { return [answer.status, text]; });
    }).then(function (found) {
      var status = found[0], text = found[1];
      busy = false;
      lost = false;
      if (status === 200) {
        done(one);
        if (waiting().length === 0 || one.target !== "list") { put(one, text); }
      } else if (status === 409 || status === 422 || status === 413) {
        done(one);
        trouble(one.what + ": " + text);
        refresh();
      } else {
        lost = true;
        trouble(text);
        paint();
        return;
      }
      paint();
      send();
    }).catch(function () {
      busy = false;
      lost = true;
      paint();
    });
  }

  function refresh() {
    var list = document.getElementById("list");
    if (list && window.htmx) { window.htmx.ajax("GET", "/pull/list?newest=0", { target: "#list", swap: "innerHTML" }); }
  }

  document.addEventListener("submit", function (event) {
    var form = event.target;
    if (!form.matches || !form.matches("form[data-queue]")) { return; }
    var all = waiting(), row = form.dataset.row || "", kind = form.dataset.queue;
    var same = all.find(function (o) { return row && o.row === row && o.kind === kind; });
    if (same) {
      event.preventDefault();
      if (!(busy && all[0] === same)) { done(same); }  // tapped again before it was sent: never mind
      paint();
      return;
    }
    var fields = {};
    new FormData(form).forEach(function (value, name) { if (name !== "token" && name !== "key") { fields[name] = value; } });
    var what = form.dataset.what + (kind === "untick" ? " (not up)" : "");
    if (kind === "took") { what = fields.what || what; }
    all.push({ id: newId(), to: form.getAttribute("action"), kind: kind, row: row, what: what,
      target: form.dataset.target, fields: fields });
    if (!keep(all)) { return; }  // no room to wait in: the form is sent as it is
    event.preventDefault();
    if (kind === "took" && form.querySelector("#what")) { form.querySelector("#what").value = ""; }
    paint();
    send();
  });

  document.addEventListener("click", function (event) {
    var step = event.target.closest && event.target.closest("button[data-step]");
    if (!step) { return; }
    var field = document.getElementById(step.dataset.for), begun = field.value.trim() || field.dataset.book;
    var parts = begun.split(" "), last = parts[parts.length - 1].split("/");
    var number = parts.length === 2 ? Number(parts[0]) + last[0] / last[1] : last.length === 2 ? last[0] / last[1] : Number(begun);
    if (isNaN(number)) { return; }
    number = Math.max(0, number + Number(step.dataset.step));
    field.value = String(Math.round(number * 1000) / 1000);
  });

  document.addEventListener("htmx:beforeRequest", function (event) {
    if (waiting().length && event.target.id === "pull") { event.preventDefault(); }
  });
  document.addEventListener("htmx:afterSwap", paint);
  window.addEventListener("online", send);
  window.addEventListener("storage", paint);
  document.addEventListener("visibilitychange", function () { if (!document.hidden) { send(); } });
  setInterval(send, 4000);
  paint();
  send();
})();
