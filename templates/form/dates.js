// Dates, whole or in part: `2026-10-03`, `2026-10`, `2026`; where a question takes one, with a time: `2026-10-03 16:30`.

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
function dateFault(text, question) {
  const [, day, time] = (question.time && /^([^Tt ,]+)[Tt ,]\s*(\S.*)$/u.exec(text)) || [];
  const fault = dayFault(day ?? text);
  if (fault) return fault;
  const told = time === undefined ? undefined : readTime(time);
  if (time !== undefined && (told === undefined || day.length < 10)) return "bad-time";
  if (!question.future && liesAhead(day ?? text, told)) return "bad-ahead";
  return undefined;
}

function dayFault(text) {
  const [, year, month, day] = /^(\d{4})(?:-(\d{2})(?:-(\d{2}))?)?$/u.exec(text) ?? [];
  if (year === undefined) return "bad-date";
  if (month !== undefined && (month < 1 || month > 12)) return "bad-day";
  if (day !== undefined && (day < 1 || day > daysIn(Number(year), Number(month)))) return "bad-day";
  if (year < 1900) return "bad-old";
  return undefined;
}

/** With an offset it is the clock of another place, where the next day may have come; then it lies ahead when today is over everywhere. */
function liesAhead(text, told) {
  if (told?.offset === undefined) return `${text}-01-01`.slice(0, 10) > today();
  const at = Date.parse(`${text}T00:00:00Z`) + (told.seconds - told.offset) * 1000;
  return at >= Date.parse(`${today()}T00:00:00Z`) + 36 * 60 * 60 * 1000;
}

const CLOCK = /^(\d{1,2})(?::(\d{2})(?::(\d{2})(?:[.,]\d+)?)?|\.(\d{2})(?:\.(\d{2}))?)?$/u;

/** A time of day as people and machines write it, with the offset of its clock where there is one; both in seconds. */
function readTime(text) {
  const [, clock, half, zone] = /^(.*?)\s*(am|pm|a\.m\.|p\.m\.)?\s*(z|utc|[+\u2212-]\d{2}(?::?\d{2})?)?$/iu.exec(text.trim()) ?? [];
  const [, hours, minutes, seconds, dotted, more] = CLOCK.exec(clock?.trim() ?? "") ?? [];
  const minute = minutes ?? dotted;
  const second = Number(seconds ?? more ?? 0);
  if (hours === undefined || (minute === undefined && half === undefined) || minute > 59 || second > 60) return undefined;
  let hour = Number(hours);
  if (half !== undefined) {
    if (hour < 1 || hour > 12) return undefined;
    hour = (hour % 12) + (/^p/iu.test(half) ? 12 : 0);
  }
  const offset = zone === undefined ? undefined : readOffset(zone);
  if (hour > 23 || (zone !== undefined && offset === undefined)) return undefined;
  return { seconds: hour * 3600 + Number(minute ?? 0) * 60 + Math.min(second, 59), offset };
}

/** From twelve hours behind universal time to fourteen ahead of it. */
function readOffset(zone) {
  if (/^[zu]/iu.test(zone)) return 0;
  const [hours, minutes] = [zone.slice(1, 3), zone.slice(3).replace(":", "") || "0"].map(Number);
  const seconds = (zone.startsWith("+") ? 1 : -1) * (hours * 60 + minutes) * 60;
  return minutes > 59 || seconds < -12 * 3600 || seconds > 14 * 3600 ? undefined : seconds;
}
