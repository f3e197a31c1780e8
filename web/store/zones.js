/**
 * @file State and time zone of a ZIP by its first three digits, here without signal. The runs are those of
 * server/honeyhold/heat/data/places.csv (its sources stand there); tests/test_zones.py holds both to each other.
 */

const TIME_ZONES = [
  "America/New_York",
  "America/Chicago",
  "America/Denver",
  "America/Los_Angeles",
  "America/Anchorage",
  "America/Boise",
  "America/Detroit",
  "America/Indiana/Indianapolis",
  "America/Indiana/Vincennes",
  "America/Juneau",
  "America/Kentucky/Louisville",
  "America/Phoenix",
  "America/Puerto_Rico",
  "America/Sitka",
  "America/St_Thomas",
  "Pacific/Guam",
  "Pacific/Honolulu",
];

/** From prefix, to prefix, state, place in TIME_ZONES. */
const RUNS = `
  005-005 NY 0, 006-007 PR 12, 008-008 VI 14, 009-009 PR 12, 010-027 MA 0, 028-029 RI 0, 030-038 NH 0, 039-049 ME 0, 050-054 VT 0,
  055-055 MA 0, 056-059 VT 0, 060-069 CT 0, 070-089 NJ 0, 100-149 NY 0, 150-196 PA 0, 197-199 DE 0, 200-200 DC 0, 201-201 VA 0,
  202-205 DC 0, 206-212 MD 0, 214-219 MD 0, 220-246 VA 0, 247-268 WV 0, 270-289 NC 0, 290-299 SC 0, 300-319 GA 0, 320-323 FL 0,
  324-325 FL 1, 326-339 FL 0, 341-342 FL 0, 344-344 FL 0, 346-347 FL 0, 349-349 FL 0, 350-352 AL 1, 354-369 AL 1, 370-373 TN 1,
  374-374 TN 0, 375-375 TN 1, 376-379 TN 0, 380-385 TN 1, 386-397 MS 1, 398-399 GA 0, 400-401 KY 0, 402-402 KY 10, 403-418 KY 0,
  420-424 KY 1, 425-426 KY 0, 427-427 KY 1, 430-459 OH 0, 460-462 IN 7, 463-464 IN 1, 465-470 IN 7, 471-471 IN 10, 472-474 IN 7,
  475-475 IN 8, 476-477 IN 1, 478-479 IN 7, 480-499 MI 6, 500-516 IA 1, 520-528 IA 1, 530-532 WI 1, 534-535 WI 1, 537-549 WI 1,
  550-551 MN 1, 553-567 MN 1, 569-569 DC 0, 570-575 SD 1, 576-577 SD 2, 580-585 ND 1, 586-586 ND 2, 587-588 ND 1, 590-599 MT 2,
  600-620 IL 1, 622-629 IL 1, 630-631 MO 1, 633-641 MO 1, 644-658 MO 1, 660-662 KS 1, 664-679 KS 1, 680-681 NE 1, 683-690 NE 1,
  691-691 NE 2, 692-692 NE 1, 693-693 NE 2, 700-701 LA 1, 703-708 LA 1, 710-714 LA 1, 716-729 AR 1, 730-731 OK 1, 733-733 TX 1,
  734-741 OK 1, 743-749 OK 1, 750-770 TX 1, 772-797 TX 1, 798-799 TX 2, 800-816 CO 2, 820-831 WY 2, 832-834 ID 5, 835-835 ID 3,
  836-837 ID 5, 838-838 ID 3, 840-847 UT 2, 850-853 AZ 11, 855-857 AZ 11, 859-860 AZ 11, 863-864 AZ 11, 865-865 AZ 2, 870-871 NM 2,
  873-884 NM 2, 885-885 TX 2, 889-891 NV 3, 893-895 NV 3, 897-898 NV 3, 900-908 CA 3, 910-928 CA 3, 930-961 CA 3, 967-968 HI 16,
  969-969 GU 15, 970-978 OR 3, 979-979 OR 5, 980-986 WA 3, 988-994 WA 3, 995-997 AK 4, 998-998 AK 9, 999-999 AK 13`
  .split(",")
  .map((run) => {
    const [prefixes, state, zone] = run.trim().split(" ");
    const [from, to] = prefixes.split("-").map(Number);
    return { from, to, state, time_zone: TIME_ZONES[Number(zone)] };
  });

/**
 * @param {string} zip five digits, or nine with a dash
 * @returns {{state: string, time_zone: string} | null} null for a prefix that lies nowhere (mail of the forces, or a slip of the finger)
 */
export function zoneOfZip(zip) {
  const found = /^\s*(\d{3})\d{2}(-\d{4})?\s*$/.exec(zip);
  const run = found && RUNS.find(({ from, to }) => Number(found[1]) >= from && Number(found[1]) <= to);
  return run ? { state: run.state, time_zone: run.time_zone } : null;
}

/** @param {string} time_zone @returns {string} "Central Time", as one says it */
export function zoneSaid(time_zone) {
  try {
    const parts = new Intl.DateTimeFormat("en-US", { timeZone: time_zone, timeZoneName: "longGeneric" }).formatToParts(new Date(0));
    return parts.find(({ type }) => type === "timeZoneName")?.value ?? time_zone;
  } catch {
    return time_zone;
  }
}
