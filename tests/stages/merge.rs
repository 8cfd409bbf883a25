//! Stage 8: the same matter said twice is one; two matters stay two.

use storystick::list::{AreaState, List, Work};
use storystick::pipeline;

use super::{lexicon, read, walk};

fn items(list: &List) -> Vec<(String, Option<&str>, Work, usize)> {
    list.items
        .iter()
        .map(|i| (i.area.join("/"), i.element.as_deref(), i.work, i.said.len()))
        .collect()
}

#[test]
fn said_again_after_a_return_is_one_item_with_two_stretches() {
    let list = read(
        "Kitchen. The door sticks. Hall. The wall is scuffed. Back in the kitchen. The door sticks.",
    );
    assert_eq!(
        items(&list),
        [
            ("Kitchen".into(), Some("door"), Work::Adjust, 2),
            ("Hall".into(), Some("wall"), Work::TouchUp, 1),
        ]
    );
    assert!(list.items[0].said[0].end <= list.items[0].said[1].start);
}

#[test]
fn the_same_in_two_rooms_is_two_items() {
    let list = read("Kitchen. The door sticks. Hall. The door sticks.");
    assert_eq!(list.items.len(), 2);
    assert_ne!(list.items[0].id, list.items[1].id);
}

#[test]
fn the_same_part_found_fine_twice_is_one_mark() {
    let list = read("Kitchen. The floor's fine. Yep, the floor is good.");
    assert_eq!(list.cleared.len(), 1);
}

#[test]
fn two_recordings_of_one_job_are_one_list() {
    let one = walk(&[(0.0, 3.0, "Kitchen. The door sticks.")]);
    let two = walk(&[(0.0, 5.0, "Kitchen. The door sticks. The sill is chipped.")]);
    let list = pipeline::list(&[one, two], lexicon());
    assert_eq!(list.walks.len(), 2);
    assert_eq!(list.areas.len(), 1);
    assert_eq!(list.areas[0].visits.len(), 2);
    let found: Vec<_> = list
        .items
        .iter()
        .map(|i| {
            let walks: Vec<&str> = i.said.iter().map(|s| s.walk.as_str()).collect();
            (i.element.as_deref().unwrap(), walks)
        })
        .collect();
    assert_eq!(found, [("door", vec!["w1", "w2"]), ("sill", vec!["w2"])]);
}

#[test]
fn how_an_area_stands() {
    let list = read("Kitchen. The door sticks. Hall. The floor is fine. Pantry. Okay, garage.");
    let states: Vec<_> = list.areas.iter().map(|a| a.state).collect();
    assert_eq!(states[0], AreaState::Outstanding);
    assert_eq!(states[1], AreaState::Clear);
    assert!(states[2..].iter().all(|s| *s == AreaState::Unjudged));
}
