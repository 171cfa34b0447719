// The printed form: a group with no blocks yet gets some empty ones to fill in by hand, for as long as the print takes.

const BLANK_BLOCKS = 2;

addEventListener("beforeprint", () => {
  for (const group of form.groups) {
    if (!group.repeats || state.groups[group.id].mode !== "blank") continue;
    const list = document.getElementById(`part-${group.id}`).querySelector(".blocks");
    for (let at = 1; at <= BLANK_BLOCKS; at += 1) {
      const place = buildBlock(group, { number: `print-${at}` });
      place.classList.add("only-paper");
      const noun = group.repeats.charAt(0).toUpperCase() + group.repeats.slice(1);
      place.querySelector("h3").textContent = `${noun} ${at}`;
      list.append(place);
    }
  }
});

addEventListener("afterprint", () => {
  for (const place of document.querySelectorAll(".only-paper")) place.remove();
});
