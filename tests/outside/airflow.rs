//! Beds, fans and motors against published equations and tables.

use approx::{assert_abs_diff_eq, assert_relative_eq};
use dryledger::airflow::{BedResistance, FanSpec, MotorClass, MotorPlace, SpeedControl, affinity, air_viscosity_pa_s};
use dryledger::crop::find;

fn ergun(diameter_mm: f64, porosity: f64) -> BedResistance {
    BedResistance::Ergun { diameter_m: diameter_mm / 1000.0, porosity, shape_factor: 1.0 }
}

/// Ergun (1952), Chem. Eng. Prog. 48:89-94, in the example of an open-source fluid library: d 0.8 mm,
/// porosity 0.4, 1 mm/s, 1000 kg/m³, 1e-3 Pa s, 1 m: 1338.8672 Pa. Tolerance: its printed digits.
#[test]
fn ergun_gives_the_library_example() {
    let drop = ergun(0.8, 0.4).pressure_drop_pa(1e-3, 1.0, 1000.0, 1e-3);
    assert_abs_diff_eq!(drop, 1338.8672, epsilon = 1e-4);
}

/// Pa/m of nut beds in air of 40 °C (1.127 kg/m³, 1.91e-5 Pa s) at 0.05, 0.10, 0.20, 0.30 m/s: a table
/// computed apart from this code with Ergun's equation. Sizes are published, porosities from memory,
/// not verified. Tolerance: half of the last printed digit.
#[test]
#[allow(clippy::approx_constant)] // 3.14 Pa/m is a pressure drop
fn ergun_gives_the_table_of_nut_beds() {
    let velocities = [0.05, 0.10, 0.20, 0.30];
    for (nut, diameter_mm, porosity, expected) in [
        ("macadamia", 23.7, 0.42, [2.79, 8.83, 30.69, 65.58]),
        ("macadamia", 23.7, 0.40, [3.38, 10.67, 36.94, 78.82]),
        ("walnut", 31.0, 0.50, [0.93, 3.14, 11.37, 24.69]),
        ("almond", 22.0, 0.565, [0.85, 2.78, 9.89, 21.32]),
        ("hazelnut", 22.0, 0.45, [2.34, 7.38, 25.57, 54.59]),
        ("pecan", 29.0, 0.48, [1.22, 4.03, 14.46, 31.28]),
    ] {
        for (v, pa_per_m) in velocities.into_iter().zip(expected) {
            let drop = ergun(diameter_mm, porosity).pressure_drop_pa(v, 1.0, 1.127, 1.91e-5);
            assert!((drop - pa_per_m).abs() <= 0.0051, "{nut} {porosity} at {v} m/s: {drop} against {pa_per_m}");
        }
    }
}

fn hukill_ives(a: f64, b: f64) -> BedResistance {
    BedResistance::HukillIves { a, b, factor: 1.0 }
}

/// Hukill-Ives with the coefficients of ASAE D272.3 MAR96 (from memory, not verified), Pa/m at 0.05, 0.1,
/// 0.2, 0.3 m³/(s m²), computed apart from this code: peanuts with the library's own coefficients, the others
/// to check the form. Tolerance: half of the last printed digit.
#[test]
fn hukill_ives_gives_the_table_of_products() {
    let flows = [0.05, 0.1, 0.2, 0.3];
    let (a, b) = find("peanut").expect("in the library").bed().hukill_ives.expect("coefficients");
    for (product, bed, expected, tolerance) in [
        ("peanut", hukill_ives(a, b), [5.05, 15.24, 48.34, 96.74], 0.0051),
        ("ear corn", hukill_ives(1.04e4, 325.0), [9.13, 29.62, 99.29, 203.92], 0.0051),
        ("wheat", hukill_ives(2.70e4, 8.77), [185.6, 428.8, 1066.0, 1884.0], 0.51),
    ] {
        for (q, pa_per_m) in flows.into_iter().zip(expected) {
            let drop = bed.pressure_drop_pa(q, 1.0, 1.127, 1.91e-5);
            assert!((drop - pa_per_m).abs() <= tolerance, "{product} at {q}: {drop} against {pa_per_m}");
        }
    }
}

/// Beds of nuts resist with the power 1.65 to 1.9 of the flow, short of the square: between 0.05 and
/// 0.3 m/s, from the tables above.
#[test]
fn a_nut_bed_resists_with_less_than_the_square_of_the_flow() {
    let beds = [ergun(23.7, 0.42), hukill_ives(3800.0, 111.0)];
    for bed in beds {
        let drop = |v: f64| bed.pressure_drop_pa(v, 1.0, 1.127, 1.91e-5);
        let power = (drop(0.3) / drop(0.05)).ln() / (0.3_f64 / 0.05).ln();
        assert!((1.6..1.95).contains(&power), "{bed:?}: {power}");
    }
}

/// Viscosity of dry air, 1.91e-5 Pa s at 40 °C, and 1.789e-5 at 15 °C of the U.S. Standard Atmosphere 1976
/// (both from memory, not verified). Tolerance 0.2 %.
#[test]
fn viscosity_of_air() {
    assert_relative_eq!(air_viscosity_pa_s(40.0), 1.91e-5, max_relative = 2e-3);
    assert_relative_eq!(air_viscosity_pa_s(15.0), 1.789e-5, max_relative = 2e-3);
}

/// Fan heat: at 500 Pa and an overall efficiency of 0.5 a cubic metre a second takes 1000 W and warms
/// the air by 0.88 K; at 1000 Pa 2000 W and 1.76 K (air of 1.13 kg/m³ and 1.006 kJ/(kg K)): ΔT = Δp/(η ρ c).
/// Tolerance 0.01 K.
#[test]
fn fan_heat_warms_the_air_by_its_power() {
    let fan = FanSpec {
        fan_efficiency: 0.5,
        drive_efficiency: 1.0,
        motor_efficiency: 1.0,
        motor_place: MotorPlace::InStream,
        speed: SpeedControl::Fixed,
    };
    for (pressure, kw, kelvin) in [(500.0, 1.0, 0.88), (1000.0, 2.0, 1.76)] {
        let duty = fan.duty(1.0, pressure, pressure / 1000.0);
        assert_abs_diff_eq!(duty.electric_kw, kw, epsilon = 1e-12);
        assert_abs_diff_eq!(duty.heat_to_air_kw, kw, epsilon = 1e-12);
        assert_abs_diff_eq!(duty.temperature_rise_k(1.13 * 1.006), kelvin, epsilon = 0.01);
    }
}

/// The affinity laws: at 0.8 of the speed 0.64 of the pressure and 0.512 of the power.
#[test]
fn affinity_laws() {
    let slow = affinity(0.8);
    assert_relative_eq!(slow.flow, 0.8);
    assert_relative_eq!(slow.pressure, 0.64, max_relative = 1e-12);
    assert_relative_eq!(slow.power, 0.512, max_relative = 1e-12);
}

/// IEC 60034-30-1, four-pole 50 Hz, %: 1.5 kW and 15 kW as read on public pages on motor efficiency; 7.5
/// and 22 kW from memory, not verified. Tolerance: the table's last digit.
#[test]
fn motor_efficiencies_of_the_standard() {
    use MotorClass::{Ie1, Ie2, Ie3};
    for (kw, class, percent) in [
        (1.5, Ie1, 77.2),
        (1.5, Ie2, 82.8),
        (1.5, Ie3, 85.3),
        (15.0, Ie2, 90.6),
        (7.5, Ie1, 86.0),
        (7.5, Ie2, 88.7),
        (7.5, Ie3, 90.4),
        (22.0, Ie1, 89.9),
        (22.0, Ie2, 91.6),
        (22.0, Ie3, 93.0),
    ] {
        let found = class.efficiency(kw) * 100.0;
        assert!((found - percent).abs() <= 0.0501, "{kw} kW {class:?}: {found}");
    }
}
