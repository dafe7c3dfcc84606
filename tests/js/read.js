// Reads a calendar from stdin with ical.js; writes its events as JSON. Believes the file's zones.
import { readFileSync } from "node:fs";
import ICAL from "ical.js";

const calendar = new ICAL.Component(ICAL.parse(readFileSync(0, "utf8")));
for (const zone of calendar.getAllSubcomponents("vtimezone")) {
  ICAL.TimezoneService.register(zone);
}

function moment(time) {
  return time.isDate ? time.toString() : new Date(time.toUnixTime() * 1000).toISOString();
}

const events = calendar.getAllSubcomponents("vevent").map((component) => {
  const event = new ICAL.Event(component);
  return {
    uid: event.uid,
    title: event.summary ?? "",
    start: moment(event.startDate),
    end: moment(event.endDate),
    description: event.description ?? "",
    place: event.location ?? "",
    sequence: event.sequence,
  };
});
process.stdout.write(JSON.stringify(events));
