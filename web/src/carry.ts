// On the static site the page's requests go to a worker. To be imported before
// the page, whose first request is made as it starts.
import { el } from "./dom";
import { carryBy } from "./host";
import { Program } from "./program";

const fetching = "Fetching the program";

const program = new Program((share) => {
  const status = el("lp-status");
  if (share < 1) status.textContent = `${fetching}: ${Math.floor(share * 100)} % …`;
  else if (status.textContent.startsWith(fetching)) status.textContent = "";
});
carryBy((path, init) => program.send(path, init));

/** When all files of the program have come. */
export const loaded: Promise<unknown> = program.files;
