/** Days: ISO dates as the server tells them, or their number since 1970 where many are compared. */
const names = ['Sun', 'Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat'];
const months = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];
const aDay = 86400000;

/** 2027-03-01 for a number. */
export const isoDay = (number) => new Date(number * aDay).toISOString().slice(0, 10);
/** The number of 2027-03-01. */
export const dayNumber = (iso) => Math.round(Date.parse(iso + 'T00:00:00Z') / aDay);
export const dayAfter = (iso, days) => isoDay(dayNumber(iso) + days);

/** The day of this browser. */
export function thisDay() {
  const now = new Date();
  return isoDay(Math.floor((now.getTime() - now.getTimezoneOffset() * 60000) / aDay));
}

/** "Mon 1 Mar 2027" */
export function dayText(iso, year = true) {
  if (!iso) return '–';
  const date = new Date(iso + 'T00:00:00Z');
  if (Number.isNaN(date.getTime())) return iso;
  return `${names[date.getUTCDay()]} ${date.getUTCDate()} ${months[date.getUTCMonth()]}` +
    (year ? ` ${date.getUTCFullYear()}` : '');
}

export const monthText = (number) => {
  const date = new Date(number * aDay);
  return `${months[date.getUTCMonth()]} ${date.getUTCFullYear()}`;
};
export const dayOfMonth = (number) => new Date(number * aDay).getUTCDate();
export const weekday = (number) => new Date(number * aDay).getUTCDay();
