// The page that stands in while the server is away: a row of buttons for each watch that the last round named.
import { names } from "./keptstore.js";

const form = document.getElementById("taps");
const known = await names();

for (const [uid, nickname] of known?.watches ?? []) {
  const row = document.getElementById("row").content.cloneNode(true).firstElementChild;
  row.dataset.watch = uid;
  row.dataset.kept = nickname;
  row.setAttribute("aria-label", nickname);
  row.querySelector("h2").textContent = nickname;
  for (const button of row.querySelectorAll("button")) button.value += ` ${uid}`;
  form.append(row);
}
for (const part of ["person", "name", "zone"]) form.dataset[part] = known?.[part] ?? "";
form.hidden = !known?.watches.length;
document.getElementById("listed").hidden = form.hidden;
document.getElementById("unlisted").hidden = !form.hidden;
document.getElementById("again").href = location.href;
