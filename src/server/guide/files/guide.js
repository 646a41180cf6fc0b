// The form of a page calls the service that the page is from, and shows the answer below it.
"use strict";

const form = document.querySelector("form[data-try]");
if (form) {
  const answer = document.querySelector("[data-answer]");
  const example = form.querySelector("[data-example]");
  const body = form.querySelector("[data-body]");
  const key = form.querySelector("[data-key]");
  const controls = () => [...form.querySelectorAll("[name]:not([type=hidden])")];

  const element = (name, text, className) => {
    const made = document.createElement(name);
    made.textContent = text;
    if (className) made.className = className;
    return made;
  };

  const fill = () => {
    if (body) {
      body.value = example.value;
      return;
    }
    const request = JSON.parse(example.value);
    for (const control of controls()) {
      const value = request[control.name];
      control.value = value === undefined ? "" : String(value);
      const folded = control.closest("details");
      if (folded && value !== undefined) folded.open = true;
    }
  };

  // empty fields are left out: the address is one to keep and to paste into a cell
  const query = () => {
    const given = new URLSearchParams();
    for (const control of controls()) {
      if (control.value !== "") given.append(control.name, control.value);
    }
    return given;
  };

  const clear = () => {
    answer.replaceChildren();
    for (const control of controls()) {
      control.removeAttribute("aria-invalid");
      document.getElementById("fault-" + control.name).textContent = "";
    }
  };

  const showFaults = (problem) => {
    const box = element("div", "", "failed");
    box.append(element("p", problem.title + (problem.detail ? ": " + problem.detail : "")));
    const list = document.createElement("ul");
    let first;
    for (const fault of problem.errors || []) {
      const control = form.elements.namedItem(fault.pointer.slice(1).split("/")[0]);
      const place = control && document.getElementById("fault-" + control.name);
      if (place) {
        control.setAttribute("aria-invalid", "true");
        place.textContent = fault.detail;
        const folded = control.closest("details");
        if (folded) folded.open = true;
        first = first || control;
      } else {
        list.append(element("li", fault.pointer + ": " + fault.detail));
      }
    }
    box.append(list);
    if (problem.type) {
      const link = element("a", "About this problem");
      link.href = problem.type;
      box.append(link);
    }
    answer.append(box);
    if (first) first.focus();
  };

  const showNumbers = (shown) => {
    const list = document.createElement("dl");
    for (const [name, value] of Object.entries(shown || {})) {
      const pair = document.createElement("div");
      pair.append(element("dt", name), element("dd", String(value)));
      list.append(pair);
    }
    if (list.children.length) answer.append(list);
  };

  const showCautions = (cautions) => {
    for (const caution of cautions || []) {
      answer.append(element("p", caution.text, caution.severity === "hazard" ? "failed" : "small"));
    }
  };

  const call = async () => {
    const headers = { accept: "application/json" };
    if (key.value) headers.authorization = "Bearer " + key.value;
    if (body) {
      headers["content-type"] = "application/json";
      return fetch(form.getAttribute("action"), { method: "POST", headers, body: body.value });
    }
    const address = form.getAttribute("action") + "?" + query();
    const link = element("a", address);
    link.href = address;
    const line = element("p", "GET ");
    line.append(link);
    answer.append(line);
    return fetch(address + "&display=true", { headers });
  };

  const calculate = async () => {
    clear();
    const response = await call();
    const told = await response.json();
    if (!response.ok) {
      showFaults(told);
      return;
    }
    showNumbers(told.display);
    showCautions(told.cautions);
    delete told.display;
    const text = element("pre", JSON.stringify(told, null, 2));
    text.tabIndex = 0;
    text.setAttribute("aria-label", "The whole answer");
    answer.append(text);
  };

  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const button = form.querySelector("button");
    button.disabled = true;
    try {
      await calculate();
    } catch (error) {
      answer.append(element("p", "The service did not answer: " + error.message, "failed"));
    } finally {
      button.disabled = false;
    }
  });
  example.addEventListener("change", fill);
}
