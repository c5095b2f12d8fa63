use super::*;
use crate::cool_store::Placement;
use crate::season::HandOver;
use crate::season::tests::{electric, plant};

#[test]
fn steps_are_round_and_at_most_a_hundredth() {
    for (value, step) in [(95.0, 0.5), (0.10, 0.001), (5.0, 0.05), (160.0, 1.0), (900.0, 5.0)] {
        assert!((Lever::Heat.step(value) / step - 1.0).abs() < 1e-9, "{value}");
    }
    assert_eq!(Lever::Bins(0).step(8.0), 1.0);
}

/// Two rooms in a row, the second whose air passes once.
fn row() -> Site {
    let mut plant = plant();
    let mut spec = plant.rooms[0].clone();
    spec.name = "second".into();
    spec.air = crate::dryer::AirPath::OnceThrough;
    plant.rooms.push(spec);
    plant.hand_overs.push(HandOver { at_moisture: 0.15, hours: 0.0 });
    Site { plant, heating: electric(Placement::Outdoors, 90.0) }
}

#[test]
fn a_site_has_the_numbers_of_each_room() {
    let levers = Lever::all(&row());
    // Air that passes once has no extraction.
    let expected =
        [Lever::Heat, Lever::Bins(0), Lever::Airflow(0), Lever::Extraction(0), Lever::Bins(1), Lever::Airflow(1)];
    assert_eq!(levers, expected);
    assert_eq!(Lever::Bins(2).value(&row()), None);
}

#[test]
fn a_number_of_a_room_leaves_all_others_as_they_stand() {
    let site = row();
    let levers = Lever::all(&site);
    for &lever in &levers {
        let wanted = 2.0 * lever.value(&site).expect("it has it");
        let changed = lever.set(&site, wanted);
        for &other in &levers {
            let expected = if other == lever { wanted } else { other.value(&site).expect("it has it") };
            let found = other.value(&changed).expect("it still has it");
            assert!((found - expected).abs() < 1e-9, "{lever:?} {other:?}");
        }
    }
}
