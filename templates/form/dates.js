// Dates, whole or in part: `2026-10-03`, `2026-10`, `2026`.

/** Today as year-month-day, by the clock of the device. */
function today() {
  const now = new Date();
  const two = (number) => String(number).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

function daysIn(year, month) {
  return new Date(Date.UTC(year, month, 0)).getUTCDate();
}

/** What is wrong with a date, as the key of a sentence; undefined when nothing is. */
function dateFault(text, future) {
  const [, year, month, day] = /^(\d{4})(?:-(\d{2})(?:-(\d{2}))?)?$/u.exec(text) ?? [];
  if (year === undefined) return "bad-date";
  if (month !== undefined && (month < 1 || month > 12)) return "bad-day";
  if (day !== undefined && (day < 1 || day > daysIn(Number(year), Number(month)))) return "bad-day";
  if (year < 1900) return "bad-old";
  if (!future && `${year}-${month ?? "01"}-${day ?? "01"}` > today()) return "bad-ahead";
  return undefined;
}
