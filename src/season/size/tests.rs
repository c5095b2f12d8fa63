use super::*;

#[test]
fn steps_are_round_and_at_most_a_hundredth() {
    for (value, step) in [
        (95.0, 0.5),
        (0.10, 0.001),
        (5.0, 0.05),
        (160.0, 1.0),
        (900.0, 5.0),
    ] {
        assert!(
            (Lever::Heat.step(value) / step - 1.0).abs() < 1e-9,
            "{value}"
        );
    }
    assert_eq!(Lever::Bins(0).step(8.0), 1.0);
}
