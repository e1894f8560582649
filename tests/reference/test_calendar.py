"""A quote's programme read back as iCalendar by python3-icalendar, and its sheets by Python's csv module."""
import csv
import datetime
import http.client
import io
import json

import icalendar

from program import TOKEN, Service, config_copy, fixtures, merged
from record import Record

record = Record("calendar")
service = Service(config_copy())
RFC_5545 = "python3-icalendar; RFC 5545"
RFC_4180 = "Python's csv module; RFC 4180"


def fetch(enquiry, accept, owner=False):
    connection = http.client.HTTPConnection("127.0.0.1", service.port, timeout=60)
    headers = {"Content-Type": "application/json", "Accept": accept}
    if owner:
        headers["Authorization"] = "Bearer " + TOKEN
    connection.request("POST", "/v1/quote", json.dumps(enquiry), headers)
    reply = connection.getresponse()
    text = reply.read()
    assert reply.status == 200, (reply.status, text[:300])
    assert reply.getheader("Content-Type").startswith(accept), reply.getheader("Content-Type")
    connection.close()
    return text


def enquiries():
    """All fixtures, each as it is and with a start in winter."""
    found = {}
    for name, enquiry in fixtures().items():
        found[name] = merged({"issued_on": "2026-11-25"}, enquiry)
        found[name + " in winter"] = merged(enquiry, {"issued_on": "2026-11-25", "start_on": "2026-12-14"})
    return found


def day(text):
    return datetime.date.fromisoformat(text)


def components(name, data, quote):
    """Each task once, with the dates of the answer in JSON; without dates as something to do."""
    calendar = icalendar.Calendar.from_ical(data)
    programme = quote["programme"]
    stopped = bool(programme["conditional_on"])
    events = [part for part in calendar.subcomponents if part.name == ("VTODO" if stopped else "VEVENT")]
    rows = {}
    for task in programme["tasks"]:
        uid = f"{quote['reference']}-{task['id']}@pondwright.invalid"
        dates = (None, None) if stopped else (day(task["from"]), day(task["to"]) + datetime.timedelta(1))
        rows[uid] = (task["title"], *dates)
    got = {}
    for event in events:
        start, end = (event.decoded(key) if key in event else None for key in ("DTSTART", "DTEND"))
        got[str(event["UID"])] = (str(event["SUMMARY"]), start, end)
    return [(name, got, rows)], [(name, len(events) == len(calendar.subcomponents) == len(rows) > 0),
                                 (name + " stamp", all(event.decoded("DTSTAMP").date() == day(quote["issued_on"]) for event in events))]


def lines(name, data):
    parts = data.split(b"\r\n")
    return [(name + " ends with CRLF", parts[-1] == b""), (name + " has no bare LF or CR", b"\n" not in b"".join(parts) and
                                                           b"\r" not in b"".join(parts)),
            (name + " is folded", all(len(part) <= 75 for part in parts)),
            (name + " splits no character", all(part.decode("utf-8") is not None for part in parts)),
            (name + " begins and ends", parts[0] == b"BEGIN:VCALENDAR" and parts[-2] == b"END:VCALENDAR")]


def calendars():
    same, holds, octets = [], [], []
    stopped = folded = 0
    for name, enquiry in enquiries().items():
        quote = service.ask("/v1/quote", enquiry)
        data = fetch(enquiry, "text/calendar")
        more_same, more_holds = components(name, data, quote)
        same += more_same
        holds += more_holds
        octets += lines(name, data)
        stopped += bool(quote["programme"]["conditional_on"])
        folded += b"\r\n " in data
        holds.append((name + " twice the same", fetch(enquiry, "text/calendar") == data))
    holds.append(("some are stopped and some are not", 0 < stopped < len(holds)))
    octets.append(("some line is folded", folded > 0))
    record.same("Tasks and their days", RFC_5545, same)
    record.holds("Nothing but the tasks, stamped with the day of issue", RFC_5545, holds)
    record.holds("Lines end, fold and decode", RFC_5545, octets)


# ---- sheets ----

def table(text):
    rows = list(csv.DictReader(io.StringIO(text.decode("utf-8"), newline=""), strict=True))
    return rows, all(None not in row and None not in row.values() for row in rows)


def minor(text, digits):
    return round(float(text) * 10 ** digits)


def public_sheets():
    same, holds = [], []
    for name, enquiry in enquiries().items():
        quote = service.ask("/v1/quote", enquiry)
        rows, whole = table(fetch(enquiry, "text/csv"))
        digits = quote["minor_digits"]
        paid = [(row["section"], row["id"], row["title"], minor(row["amount"], digits)) for row in rows if row["kind"] == "line"]
        theirs = [(section["id"], line["build_up"], line["title"], line["amount_minor"])
                  for section in quote["sections"] for line in section["lines"]]
        same.append((name, paid, theirs))
        totals = {row["kind"]: minor(row["amount"], digits) for row in rows if row["kind"] in ("net", "tax", "gross", "headline")}
        price = quote["price"] or {}
        same.append((name + " totals", totals, {key[:-6]: value for key, value in price.items() if key[:-6] in totals}))
        same.append((name + " cannot", [row["id"] for row in rows if row["kind"] == "cannot"],
                     [entry["id"] for entry in quote["cannot"]]))
        holds.append((name, whole and {row["currency"] for row in rows} == {quote["currency"]}))
        if price:
            holds.append((name + " adds up", sum(amount for *_, amount in paid) == totals["net"]))
    record.same("What is paid, line by line", RFC_4180, same)
    record.holds("Every record has every field; lines add up to the net price", RFC_4180, holds)


def owners_sheets():
    same, holds = [], []
    for name, enquiry in enquiries().items():
        quote = service.ask("/v1/quote", enquiry, owner=True)
        rows, whole = table(fetch(enquiry, "text/csv", owner=True))
        theirs = []
        for number, delivery in enumerate(quote["costing"]["orders"], 1):
            for order in delivery["orders"]:
                theirs += [(str(number), delivery["supplier"], order["item"], pack["pack"], pack["count"], order["order_by"] or "")
                           for pack in order["packs"]]
        same.append((name, [(row["delivery"], row["supplier"], row["item"], row["pack"], int(row["count"]), row["order_by"])
                            for row in rows], theirs))
        cost = sum(minor(row["cost"], quote["minor_digits"]) for row in rows if row["cost"])
        same.append((name + " cost", cost, sum(order["cost_minor"] for delivery in quote["costing"]["orders"]
                                               for order in delivery["orders"])))
        holds.append((name, whole))
    record.same("What is ordered, in packs by delivery, and what it costs", RFC_4180, same)
    record.holds("Every record has every field", RFC_4180, holds)


def main():
    for part in (calendars, public_sheets, owners_sheets):
        part()
    service.close()
    record.finish()


if __name__ == "__main__":
    main()
