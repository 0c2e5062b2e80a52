// Reads calendars and cards for the tests, by a reader that shares nothing with what wrote them. Reads JSON from
// standard input, {"calendar": text, "cards": text}; writes {"events": [...], "cards": [...]}.
"use strict";
const ICAL = require("ical.js");
const given = JSON.parse(require("fs").readFileSync(0, "utf8"));

const events = new ICAL.Component(ICAL.parse(given.calendar)).getAllSubcomponents("vevent").map((e) => ({
  uid: e.getFirstPropertyValue("uid"),
  stamp: e.getFirstPropertyValue("dtstamp").toString(),
  day: e.getFirstPropertyValue("dtstart").toString(),
  whole: e.getFirstPropertyValue("dtstart").isDate,
  summary: e.getFirstPropertyValue("summary"),
  detail: e.getFirstPropertyValue("description"),
}));

const parsed = given.cards === "" ? [] : ICAL.parse(given.cards);
const cards = (Array.isArray(parsed[0]) ? parsed : parsed.length ? [parsed] : []).map((c) => {
  const card = new ICAL.Component(c);
  return {
    version: card.getFirstPropertyValue("version"),
    name: card.getFirstPropertyValue("fn"),
    email: card.getFirstPropertyValue("email") ?? "",
    phone: card.getFirstPropertyValue("tel") ?? "",
    address: card.getFirstPropertyValue("adr") ?? [],
  };
});
process.stdout.write(JSON.stringify({ events, cards }));
