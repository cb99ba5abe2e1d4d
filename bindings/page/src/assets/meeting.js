// A meeting that goes on: looks how far it is, until it is over. Only what changes is drawn anew,
// and a person who listens is told what is under way, not each number.
"use strict";

/** Begins to look, on a page that shows one, until it is left. */
function beginMeeting(signal) {
  const OFTEN = 1000;
  const meeting = document.getElementById("meeting");
  const says = document.getElementById("meeting-says");

  function far(page) {
    return page.getElementById("meeting-far");
  }

  // What came of it takes the place of how far it is; whoever was at its button begins above it.
  function over(fresh, page) {
    const title = document.getElementById("meeting-title");
    const lost = meeting.contains(document.activeElement);
    title.textContent = page.getElementById("meeting-title").textContent;
    document.title = page.title;
    meeting.replaceWith(fresh);
    if (lost) {
      title.focus();
    } else {
      says.textContent = title.textContent;
    }
  }

  // Whether it is to be looked at again.
  async function look() {
    const answer = await fetch(meeting.dataset.goesOn, { signal });
    if (answer.redirected) {
      location.replace(answer.url);
      return false;
    }
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const fresh = page.getElementById("meeting");
    if (!fresh) {
      return true;
    }
    if (!("goesOn" in fresh.dataset)) {
      over(fresh, page);
      return false;
    }
    if (fresh.dataset.phase !== meeting.dataset.phase) {
      meeting.dataset.phase = fresh.dataset.phase;
      says.textContent = far(page).querySelector(".far").textContent;
    }
    far(document).replaceChildren(...far(page).childNodes);
    return true;
  }

  async function again() {
    let goesOn = true;
    try {
      goesOn = await look();
    } catch {
      // The desk does not answer now; it may again.
    }
    if (goesOn && !signal.aborted) {
      setTimeout(again, OFTEN);
    }
  }

  if (meeting && "goesOn" in meeting.dataset) {
    setTimeout(again, OFTEN);
  }
}
