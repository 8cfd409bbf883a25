//! The order of work: cases worked by hand, no rule of precedence ever broken, days as numpy counts them, calendars read back.

use std::collections::BTreeMap;

use jiff::civil::{Date, date};
use proptest::prelude::*;
use serde_json::{Value, json};
use storystick::list::{Item, List, Standing, Trade, Work};
use storystick::plan::{self, Calendar, Frame, Plan, Rules, Visit};

fn item(number: u32, area: &str, trade: &str, work: &str) -> Value {
    json!({"id": format!("{number:04x}"), "number": number, "area": [area], "element": "wall", "work": work, "trade": trade,
           "standing": "outstanding", "text": format!("{work} it"), "said": []})
}

fn with(mut item: Value, more: Value) -> Value {
    for (key, value) in more.as_object().unwrap() {
        item[key] = value.clone();
    }
    item
}

fn list(items: Vec<Value>) -> List {
    serde_json::from_value(json!({
        "schema": "storystick/list/1",
        "walks": [{"id": "w1", "file": "cooper-lane.vtt", "format": "webvtt", "sha256": "00", "seconds": 9.0, "words": 9}],
        "areas": [], "items": items
    }))
    .unwrap()
}

fn frame(from: Date, ready_by: Date) -> Frame {
    Frame {
        from,
        ready_by,
        calendar: Calendar::default(),
        crew: BTreeMap::new(),
    }
}

/// Monday 2 March to Friday 13 March 2026.
fn march(items: Vec<Value>) -> Plan {
    plan::plan(
        &list(items),
        &Rules::builtin(),
        &frame(date(2026, 3, 2), date(2026, 3, 13)),
    )
    .unwrap()
}

fn told(plan: &Plan) -> Vec<(String, Date, Date, Vec<u32>)> {
    plan.visits
        .iter()
        .map(|v| {
            (
                v.trade.to_string(),
                v.start,
                v.end,
                v.steps.iter().map(|s| s.number).collect(),
            )
        })
        .collect()
}

#[test]
fn a_spoken_deadline_is_kept_where_it_can_be_and_told_where_not() {
    let by = |n: u32, trade: &str, date: &str| {
        with(
            item(n, &format!("Room {n}"), trade, "repair"),
            json!({"by": "by then", "by_date": date}),
        )
    };
    let day = |d| date(2026, 3, d);
    // Without a deadline as late as may be; with one by it; a Sunday's is kept on the Friday before.
    let plan = march(vec![
        item(1, "Hall", "tile", "repair"),
        by(2, "plumber", "2026-03-06"),
        by(3, "electrician", "2026-03-08"),
        by(4, "drywall", "2026-04-30"),
    ]);
    let ends: BTreeMap<u32, Date> = plan
        .visits
        .iter()
        .flat_map(|v| v.steps.iter().map(|s| (s.number, v.end)))
        .collect();
    assert_eq!(
        ends,
        BTreeMap::from([(1, day(13)), (2, day(6)), (3, day(6)), (4, day(13))])
    );
    assert_eq!(plan.missed, []);
    // One that is over before the work can begin is done first and told.
    let plan = march(vec![
        by(1, "tile", "2026-02-27"),
        by(2, "plumber", "2026-03-13"),
    ]);
    assert_eq!(plan.late, []);
    let missed: Vec<_> = plan
        .missed
        .iter()
        .map(|m| (m.number, m.by_date, m.end))
        .collect();
    assert_eq!(missed, [(1, date(2026, 2, 27), day(2))]);
    let text = plan::write::table(&plan);
    assert!(
        text.contains(
            "Deadline missed: number 1 was wanted “by then” (Fri 2026-02-27) and would be"
        ),
        "{text}"
    );
}

#[test]
fn what_is_urgent_comes_first_and_what_is_closed_not_at_all() {
    let plan = march(vec![
        item(1, "Hall", "tile", "repair"),
        item(2, "Den", "drywall", "repair"),
        with(
            item(3, "Den", "painter", "touch-up"),
            json!({"urgent": true}),
        ),
        with(
            item(4, "Hall", "plumber", "repair"),
            json!({"closed": "not-ours", "follow_up": "ask"}),
        ),
    ]);
    let ends: Vec<(u32, Date)> = told(&plan).iter().map(|v| (v.3[0], v.2)).collect();
    // What must precede the urgent one comes before it; the rest stays as late as may be.
    let day = |d| date(2026, 3, d);
    assert_eq!(ends, [(2, day(2)), (3, day(3)), (1, day(13))]);
    assert_eq!(plan.promises, []);
}

#[test]
fn a_promise_with_a_deadline_is_due_on_its_day() {
    let promised = with(
        item(1, "Hall", "tile", "repair"),
        json!({"follow_up": "tell", "by": "by Friday", "by_date": "2026-03-06"}),
    );
    let list = list(vec![promised]);
    let frame = frame(date(2026, 3, 2), date(2026, 3, 13));
    let plan = plan::plan(&list, &Rules::builtin(), &frame).unwrap();
    let calendar = plan::ics::write(&list, &plan, 0);
    assert!(
        calendar.contains("\r\nDUE;VALUE=DATE:20260306\r\n"),
        "{calendar}"
    );
}

#[test]
fn drywall_then_paint_then_floor_then_cleaning_back_from_the_day() {
    let plan = march(vec![
        item(1, "Hall", "cleaner", "clean"),
        item(2, "Hall", "flooring", "replace"),
        item(3, "Hall", "painter", "touch-up"),
        item(4, "Hall", "drywall", "repair"),
    ]);
    // A day for each; between paint and floor one to dry; the last day is Friday 13.
    let day = |d| date(2026, 3, d);
    assert_eq!(
        told(&plan),
        [
            ("drywall".to_string(), day(9), day(9), vec![4]),
            ("painter".to_string(), day(10), day(10), vec![3]),
            ("flooring".to_string(), day(12), day(12), vec![2]),
            ("cleaner".to_string(), day(13), day(13), vec![1]),
        ]
    );
    assert!(plan.late.is_empty());
}

#[test]
fn one_visit_where_the_order_allows_and_two_where_it_does_not() {
    // The painter seals and paints in one visit, in all rooms.
    let plan = march(vec![
        item(1, "Hall", "painter", "touch-up"),
        item(2, "Den", "painter", "seal"),
        item(3, "Den", "painter", "touch-up"),
        item(4, "Den", "drywall", "repair"),
    ]);
    assert_eq!(plan.visits.len(), 2);
    // The painter's caulk comes before, the plumber's touch-up after the painter: no more than three visits.
    let plan = march(vec![
        item(1, "Hall", "plumber", "install"),
        item(2, "Hall", "painter", "touch-up"),
        item(3, "Hall", "plumber", "touch-up"),
    ]);
    let trades: Vec<&str> = plan.visits.iter().map(|v| v.trade.word()).collect();
    assert_eq!(trades, ["plumber", "painter", "plumber"]);
}

#[test]
fn hazards_and_queries_at_once() {
    let plan = march(vec![
        item(1, "Hall", "painter", "touch-up"),
        with(
            item(2, "Hall", "plumber", "check"),
            json!({"standing": "query"}),
        ),
        with(
            item(3, "Hall", "electrician", "install"),
            json!({"hazard": "electric"}),
        ),
    ]);
    let day = |d| date(2026, 3, d);
    assert_eq!(
        told(&plan),
        [
            ("electrician".to_string(), day(2), day(2), vec![3]),
            ("superintendent".to_string(), day(2), day(2), vec![2]),
            ("painter".to_string(), day(13), day(13), vec![1]),
        ]
    );
}

/// The trades in the order of their visits.
fn turns(plan: &Plan) -> Vec<&str> {
    plan.visits.iter().map(|v| v.trade.word()).collect()
}

#[test]
fn what_needs_no_order_makes_no_visit_of_its_own() {
    // The towel bar waits for no toilet, and the caulk for both: the plumber comes once.
    let bath = |area: &str| {
        vec![
            item(1, area, "plumber", "adjust"),
            item(2, area, "finish-carpenter", "install"),
            item(3, area, "plumber", "seal"),
        ]
    };
    assert_eq!(turns(&march(bath("Bath"))), ["finish-carpenter", "plumber"]);
    // Boards close the wall over the pipe and stand before trim: then the order is strict.
    let mut closed = bath("Bath");
    closed.push(item(4, "Bath", "drywall", "repair"));
    assert_eq!(
        turns(&march(closed)),
        ["plumber", "drywall", "finish-carpenter", "plumber"]
    );
}

#[test]
fn a_check_comes_before_what_it_may_spoil() {
    let plan = march(vec![
        item(1, "Hall", "painter", "touch-up"),
        item(2, "Hall", "electrician", "check"),
    ]);
    assert_eq!(turns(&plan), ["electrician", "painter"]);
    assert!(plan.visits[0].end < plan.visits[1].start);
}

#[test]
fn questions_come_first_wherever_they_are() {
    let query = |n, area: &str| with(item(n, area, "tile", "check"), json!({"standing": "query"}));
    let plan = march(vec![
        item(1, "Hall", "painter", "touch-up"),
        query(2, "Hall"),
        query(3, "Loft"),
        item(4, "Hall", "superintendent", "install"),
    ]);
    // One visit on the first day; the paint stays as late as may be.
    let day = |d| date(2026, 3, d);
    assert_eq!(
        told(&plan),
        [
            ("superintendent".to_string(), day(2), day(2), vec![2, 3, 4]),
            ("painter".to_string(), day(13), day(13), vec![1]),
        ]
    );
}

#[test]
fn cleaning_waits_for_the_closet_and_paint_does_not() {
    let closet = json!({"area": ["Den", "Closet"]});
    let plan = march(vec![
        item(1, "Den", "cleaner", "clean"),
        with(item(2, "Den", "drywall", "repair"), closet.clone()),
        item(3, "Den", "painter", "touch-up"),
    ]);
    let start = |n: u32| {
        let of = |v: &&Visit| v.steps.iter().any(|s| s.number == n);
        plan.visits.iter().find(of).unwrap().start
    };
    assert!(start(2) < start(1) && start(3) < start(1));
    // A day to dry before the cleaning, and none to wait for the closet.
    assert!(start(3) < start(2), "{:?}", told(&plan));
    // And the closet for the room.
    let plan = march(vec![
        with(item(1, "Den", "cleaner", "clean"), closet),
        item(2, "Den", "drywall", "repair"),
    ]);
    assert_eq!(turns(&plan), ["drywall", "cleaner"]);
    assert!(plan.visits[0].end < plan.visits[1].start);
}

#[test]
fn a_plan_fits_eighty_columns_and_tells_whole_sentences() {
    let plan = plan::plan(
        &list(vec![
            with(
                item(1, "Ground floor hall by the back stairs", "tile", "replace"),
                json!({"text": "Replace floor tile: cracked, 3 of them, left of the door to the pantry", "count": 16,
                       "follow_up": "photo", "promised_by": "owner", "by": "before the carpet", "by_date": "2026-03-03"}),
            ),
            item(2, "Ground floor hall by the back stairs", "painter", "touch-up"),
        ]),
        &Rules::builtin(),
        &frame(date(2026, 3, 2), date(2026, 3, 4)),
    )
    .unwrap();
    let text = plan::write::table(&plan);
    let widest = text.lines().map(|l| l.chars().count()).max().unwrap();
    assert!(widest <= 80, "{text}");
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        "Not in time: tile, number 1, would be done on Fri 2026-03-06. Number 1 (Ground floor hall by the back stairs: Replace floor tile: cracked, 3 of them, left of the door to the pantry) takes the longest.",
        "It waits most for number 1",
        "One after another: 1, 2.",
        "was wanted “before the carpet” (Tue 2026-03-03)",
        "1 The owner will send a picture: Ground floor",
        "(by Tue 2026-03-03)",
    ] {
        assert!(flat.contains(part), "{part}: {flat}");
    }
}

#[test]
fn what_presses_comes_first_in_a_visit_and_among_the_visits_of_a_trade() {
    // In one visit: a danger, what was pressed, deadlines by their dates, then the rest as walked.
    let plan = march(vec![
        item(1, "Hall", "tile", "repair"),
        with(
            item(2, "Den", "tile", "repair"),
            json!({"by": "by then", "by_date": "2026-03-12"}),
        ),
        with(
            item(3, "Loft", "tile", "repair"),
            json!({"by": "by then", "by_date": "2026-03-11"}),
        ),
        with(item(4, "Bath", "tile", "repair"), json!({"urgent": true})),
        with(
            item(5, "Attic", "tile", "repair"),
            json!({"hazard": "trip"}),
        ),
    ]);
    let numbers: Vec<Vec<u32>> = told(&plan).into_iter().map(|v| v.3).collect();
    assert_eq!(numbers, [[5, 4, 3, 2, 1]]);
    // The painter must come twice to the Hall, around the tiler, and to the Den for what presses, after the drywaller: the
    // visit in which that can be done is not held up by the Loft, which can wait for the other.
    let plan = march(vec![
        item(1, "Hall", "painter", "seal"),
        item(2, "Loft", "painter", "touch-up"),
        item(3, "Den", "drywall", "repair"),
        item(4, "Den", "finish-carpenter", "repair"),
        with(
            item(5, "Den", "painter", "touch-up"),
            json!({"urgent": true}),
        ),
        item(6, "Hall", "finish-carpenter", "touch-up"),
        item(7, "Hall", "drywall", "repair"),
    ]);
    let day = |n: u32| {
        let of = |v: &&Visit| v.steps.iter().any(|s| s.number == n);
        plan.visits.iter().find(of).unwrap().end
    };
    // Drywaller, carpenter, painter: a day each, and none between.
    assert_eq!(day(5), date(2026, 3, 4), "{:?}", told(&plan));
}

#[test]
fn weekends_holidays_and_crews() {
    // 16 tiles at 2 hours and 1 for setting up: 33 hours, 5 days; 2 people need 3.
    let tiles = || {
        vec![with(
            item(1, "Bath", "tile", "replace"),
            json!({"count": 16}),
        )]
    };
    let mut frame = frame(date(2026, 3, 2), date(2026, 3, 15));
    let made =
        |f: &Frame| told(&plan::plan(&list(tiles()), &Rules::builtin(), f).unwrap())[0].clone();
    assert_eq!(
        (made(&frame).1, made(&frame).2),
        (date(2026, 3, 9), date(2026, 3, 13))
    );
    frame.crew.insert(Trade::Tile, 2);
    assert_eq!(
        (made(&frame).1, made(&frame).2),
        (date(2026, 3, 11), date(2026, 3, 13))
    );
    frame.calendar = Calendar::read("# days off\n2026-03-12 fair\n\n2026-03-10").unwrap();
    assert_eq!(
        (made(&frame).1, made(&frame).2),
        (date(2026, 3, 9), date(2026, 3, 13))
    );
}

#[test]
fn what_cannot_be_made_and_what_holds_it_up() {
    let items = vec![
        with(item(1, "Bath", "tile", "replace"), json!({"count": 16})),
        item(2, "Bath", "painter", "touch-up"),
        item(3, "Den", "painter", "touch-up"),
    ];
    let frame = frame(date(2026, 3, 2), date(2026, 3, 6));
    let plan = plan::plan(&list(items), &Rules::builtin(), &frame).unwrap();
    assert_eq!(plan.late.len(), 1);
    let late = &plan.late[0];
    assert_eq!(
        (late.trade, late.end, late.cause),
        (Trade::Painter, date(2026, 3, 9), 1)
    );
    assert_eq!(
        (&late.numbers[..], &late.chain[..]),
        (&[2, 3][..], &[1, 2][..])
    );
    let text = plan::write::table(&plan).replace("\n  ", " ");
    assert!(
        text.contains("It waits most for number 1 (Bath: replace it)."),
        "{text}"
    );
}

#[test]
fn nothing_open_and_days_the_wrong_way_round() {
    let plan = march(vec![with(
        item(1, "Hall", "tile", "seal"),
        json!({"standing": "made-good"}),
    )]);
    assert!(plan.visits.is_empty() && plan.late.is_empty());
    let frame = frame(date(2026, 3, 2), date(2026, 3, 1));
    assert!(plan::plan(&list(Vec::new()), &Rules::builtin(), &frame).is_err());
    assert_eq!(Calendar::read("2026-03-01\nsoon").unwrap_err().line, 2);
}

#[test]
fn working_days_are_as_numpy_counts_them() {
    let table = include_str!("outside/workdays.tsv");
    let (head, rows) = table.split_once('\n').unwrap();
    let holidays = head
        .strip_prefix("# holidays ")
        .unwrap()
        .split(' ')
        .map(|d| d.parse().unwrap());
    let calendar = Calendar::without(holidays);
    let mut n = 0;
    for row in rows.lines() {
        let cells: Vec<&str> = row.split('\t').collect();
        let day: Date = cells[0].parse().unwrap();
        let there = calendar.offset(day, cells[1].parse().unwrap()).unwrap();
        assert_eq!(there.to_string(), cells[2], "{row}");
        n += 1;
    }
    assert!(n > 100);
}

#[test]
fn the_calendar_reads_back_with_another_parser() {
    use icalendar::{CalendarComponent, Component};
    let items = vec![
        with(
            item(1, "Hall, back; left", "painter", "touch-up"),
            json!({"text": "é\\n;,".repeat(60)}),
        ),
        with(
            item(2, "Hall, back; left", "drywall", "repair"),
            json!({"count": 12, "follow_up": "photo", "promised_by": "super"}),
        ),
    ];
    let list = list(items);
    let frame = frame(date(2026, 3, 2), date(2026, 3, 13));
    let plan = plan::plan(&list, &Rules::builtin(), &frame).unwrap();
    let text = plan::ics::write(&list, &plan, 1_772_400_000);
    assert!(text.split("\r\n").all(|l| l.len() <= 75));
    assert!(!text.replace("\r\n", "").contains(['\r', '\n']));
    let calendar: icalendar::Calendar = text.parse().unwrap();
    let (mut events, mut todos, mut uids) = (Vec::new(), 0, Vec::new());
    for part in calendar.iter() {
        match part {
            CalendarComponent::Event(e) => {
                uids.push(e.get_uid().unwrap().to_string());
                events.push((
                    e.property_value("DTSTART").unwrap().to_string(),
                    e.property_value("DTEND").unwrap().to_string(),
                    e.get_summary().unwrap().to_string(),
                    e.get_description().unwrap().to_string(),
                ));
            }
            CalendarComponent::Todo(t) => {
                uids.push(t.get_uid().unwrap().to_string());
                assert_eq!(
                    t.get_summary(),
                    Some("Number 2: The super will send a picture")
                );
                todos += 1;
            }
            other => panic!("{other:?}"),
        }
    }
    assert_eq!((events.len(), todos), (plan.visits.len(), 1));
    for (event, visit) in events.iter().zip(&plan.visits) {
        assert_eq!(event.0, visit.start.strftime("%Y%m%d").to_string());
        assert_eq!(
            event.1,
            visit.end.tomorrow().unwrap().strftime("%Y%m%d").to_string()
        );
        assert!(event.3.contains("Hall, back; left"), "{}", event.3);
        assert!(event.2.starts_with(visit.trade.word()));
    }
    // Other days, other clock: the entries are the same ones.
    let later = Frame {
        ready_by: date(2026, 4, 10),
        ..frame
    };
    let moved = plan::ics::write(
        &list,
        &plan::plan(&list, &Rules::builtin(), &later).unwrap(),
        1_773_000_000,
    );
    assert_ne!(moved, text);
    assert!(uids.iter().all(|u| moved.contains(&format!("UID:{u}\r\n"))));
    uids.sort();
    uids.dedup();
    assert_eq!(uids.len(), events.len() + todos);
}

/// The order of one item, written down a second time and by hand: what comes later has the higher number.
fn rank(list: &List, number: u32) -> u32 {
    let i = list.items.iter().find(|i| i.number == number).unwrap();
    if i.hazard.is_some() {
        return 0;
    }
    if i.standing == Standing::Query {
        return 1;
    }
    match (i.trade, i.work) {
        (_, Work::Clean) => 9,
        (_, Work::Seal) => 5,
        (Trade::Plumber | Trade::Electrician, w) if w != Work::TouchUp => 2,
        (Trade::Drywall | Trade::Tile, _) => 3,
        (Trade::FinishCarpenter, _) => 4,
        (Trade::Painter, _) => 6,
        (Trade::Flooring, _) => 7,
        _ => 8,
    }
}

/// Whether one item must be done before another, by hand: a question waits for no danger, what is fitted for no services; cleaning waits
/// also for what lies in its area or around it.
fn must_precede(list: &List, x: &Item, y: &Item) -> bool {
    let (p, q) = (rank(list, x.number), rank(list, y.number));
    let near = x.area == y.area
        || (q == 9 && (x.area.starts_with(&y.area) || y.area.starts_with(&x.area)));
    near && p < q && (p, q) != (0, 1) && (p, q) != (2, 4)
}

/// The fewest visits in which all can be done, by trying every order of trades, breadth first.
fn fewest(list: &List) -> usize {
    let n = list.items.len();
    let before: Vec<Vec<usize>> = (0..n)
        .map(|y| {
            let waits = |x: &usize| must_precede(list, &list.items[*x], &list.items[y]);
            (0..n).filter(waits).collect()
        })
        .collect();
    let dries = |x: usize| rank(list, list.items[x].number) == 6;
    let visit = |done: &Vec<bool>, trade: Trade| {
        let mut now = done.clone();
        loop {
            let can = |i: &usize| {
                let ready = |x: &usize| done[*x] || (now[*x] && !dries(*x));
                !now[*i] && list.items[*i].trade == trade && before[*i].iter().all(ready)
            };
            match (0..n).find(can) {
                Some(i) => now[i] = true,
                None => return now,
            }
        }
    };
    let mut trades: Vec<Trade> = list.items.iter().map(|i| i.trade).collect();
    trades.sort();
    trades.dedup();
    let mut states = vec![vec![false; n]];
    for visits in 0.. {
        if states.iter().any(|s| s.iter().all(|d| *d)) {
            return visits;
        }
        let next =
            |s: &Vec<bool>| -> Vec<Vec<bool>> { trades.iter().map(|t| visit(s, *t)).collect() };
        states = states.iter().flat_map(next).collect();
        states.sort();
        states.dedup();
    }
    unreachable!("each step does something")
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// Where nothing presses there are as few visits as any order of trades would take.
    #[test]
    fn no_fewer_visits_would_do(rows in prop::collection::vec((0..3usize, 0..5usize, 0..8usize), 1..14)) {
        let trades = ["painter", "drywall", "plumber", "finish-carpenter", "flooring"];
        let items = rows.iter().enumerate().map(|(n, (area, trade, work))| {
            with(item(n as u32 + 1, "", trades[*trade], Work::ALL[*work].word()), json!({
                "area": ([vec!["Hall"], vec!["Hall", "Closet"], vec!["Bath"]][*area]),
            }))
        }).collect();
        let list = list(items);
        let far = frame(date(2026, 3, 2), date(2026, 12, 31));
        let plan = plan::plan(&list, &Rules::builtin(), &far).unwrap();
        prop_assert_eq!(plan.visits.len(), fewest(&list), "{:?}", told(&plan));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Whatever is on the list: each open item is done once; in one area nothing comes before what must precede it; a trade
    /// is never in two visits on one day; visits lie on working days between the first day and, where nothing is late, the last.
    #[test]
    fn no_rule_of_precedence_is_broken(
        rows in prop::collection::vec((0..4usize, 0..8usize, 0..8usize, 0..12u8, 1..9u32), 0..40),
        days in 0..60i64,
        crew in 1..4u32,
    ) {
        let trades = ["painter", "drywall", "flooring", "tile", "plumber", "electrician", "finish-carpenter", "cleaner"];
        let items = rows.iter().enumerate().map(|(n, (area, trade, work, odd, count))| {
            with(item(n as u32 + 1, "", trades[*trade], Work::ALL[*work].word()), json!({
                "area": ([vec!["Hall"], vec!["Hall", "Closet"], vec!["Bath"], vec!["Hall", "Closet", "Safe"]][*area]),
                "count": count,
                "hazard": if *odd == 0 { json!("fall") } else { Value::Null },
                "urgent": *odd == 4,
                "by_date": if *odd == 5 { json!(format!("2026-03-{:02}", 10 + count)) } else { Value::Null },
                "standing": match odd { 1 | 2 => "query", 3 => "made-good", _ => "outstanding" },
            }))
        }).collect();
        let list = list(items);
        let mut frame = frame(date(2026, 2, 27), date(2026, 2, 27).checked_add(jiff::Span::new().days(days)).unwrap());
        frame.calendar = Calendar::without([date(2026, 3, 4)]);
        frame.crew.insert(Trade::Painter, crew);
        let plan = plan::plan(&list, &Rules::builtin(), &frame).unwrap();
        let at = |n: u32| -> Vec<(usize, &Visit)> {
            plan.visits.iter().enumerate().filter(|(_, v)| v.steps.iter().any(|s| s.number == n)).collect()
        };
        for i in &list.items {
            let open = usize::from(i.standing != Standing::MadeGood);
            prop_assert_eq!(at(i.number).len(), open);
        }
        for x in list.items.iter().filter(|i| i.standing != Standing::MadeGood) {
            for y in list.items.iter().filter(|i| i.standing != Standing::MadeGood && must_precede(&list, x, i)) {
                let p = rank(&list, x.number);
                let ((a, before), (b, after)) = (at(x.number)[0], at(y.number)[0]);
                if a == b {
                    let place = |n| before.steps.iter().position(|s| s.number == n).unwrap();
                    prop_assert!(place(x.number) < place(y.number) && p != 6);
                } else {
                    prop_assert!(before.end < after.start, "{} before {}", x.number, y.number);
                    if p == 6 {
                        let dry = frame.calendar.offset(before.end, 1).unwrap();
                        prop_assert!(dry < after.start);
                    }
                }
            }
        }
        for (a, v) in plan.visits.iter().enumerate() {
            prop_assert!(frame.calendar.works(v.start) && frame.calendar.works(v.end) && v.start <= v.end);
            prop_assert!(v.start >= frame.from);
            prop_assert_eq!(frame.calendar.between(v.start, v.end), v.days);
            for w in &plan.visits[a + 1..] {
                prop_assert!(v.trade != w.trade || v.end < w.start || w.end < v.start);
            }
            let late = plan.late.iter().any(|l| l.trade == v.trade && l.end == v.end);
            prop_assert_eq!(late, v.end > frame.ready_by);
        }
    }
}
