//! Moist air against two independent libraries and the Handbook's worked examples.

use crate::case::{data, dryledger};
use approx::assert_abs_diff_eq;
use dryledger::air::{MoistAir, Stream, heat_to, mix, saturation_pressure_pa};

/// 156 states computed by `PsychroLib` (columns `pl`: the same Handbook equations) and `CoolProp`
/// (columns `cp`: a real-gas model of humid air). File: `tests/data/moist_air_states.csv`.
///
/// Tolerances. Against the same equations: rounding only. Against `CoolProp`: what the two libraries
/// themselves differ by over 312 states (largest differences, -20..90 °C: saturation pressure
/// 0.0225 %, humidity ratio 1.1 %, dew point 0.063 K, specific volume 0.14 %, wet bulb 0.06 K away
/// from the freezing point). The real-gas enhancement factor, which the Handbook's perfect-gas
/// relations leave out, is most of it.
#[test]
fn states_of_two_independent_libraries() {
    let mut reader = csv::Reader::from_path(data("moist_air_states.csv")).expect("the table");
    let headers = reader.headers().expect("headers").clone();
    let mut states = 0;
    for record in reader.records() {
        let record = record.expect("a record");
        let cell = |name: &str| -> f64 {
            let at = headers.iter().position(|h| h == name).expect("the column");
            record[at].parse().unwrap_or(f64::NAN)
        };
        let id = &record[0];
        let (t, rh, p) = (cell("T_C"), cell("RH_pct") / 100.0, cell("P_Pa"));
        let air = MoistAir::from_relative_humidity(t, rh, p).expect("a state in range");
        let close = |what: &str, found: f64, column: &str, relative: f64, absolute: f64| {
            let expected = cell(column);
            if expected.is_nan() {
                return; // the library has no saturation pressure below freezing
            }
            let miss = (found - expected).abs();
            assert!(
                miss <= relative * expected.abs() + absolute,
                "{id} ({t} °C, {rh}, {p} Pa): {what} {found} against {expected} in {column}"
            );
        };
        let saturation = saturation_pressure_pa(t);
        close("saturation pressure", saturation, "psat_pl_Pa", 1e-7, 0.0);
        close("saturation pressure", saturation, "psat_iapws_Pa", 2.1e-4, 0.0);
        close("saturation pressure", saturation, "psat_cp_Pa", 2.3e-4, 0.0);
        close("humidity ratio", air.humidity_ratio(), "w_pl", 1e-6, 2e-7);
        close("humidity ratio", air.humidity_ratio(), "w_cp", 0.0109, 0.0);
        close("enthalpy", air.enthalpy_kj_per_kg(), "h_pl_kJ_kgda", 1e-6, 5e-4);
        close("specific volume", air.specific_volume_m3_per_kg(), "v_pl_m3_kgda", 1e-6, 0.0);
        close("specific volume", air.specific_volume_m3_per_kg(), "v_cp_m3_kgda", 1.4e-3, 0.0);
        close("density", air.density_kg_per_m3(), "rho_pl_kg_m3", 1e-6, 0.0);
        close("density", air.density_kg_per_m3(), "rho_cp_kg_m3", 3.5e-3, 0.0);
        close("wet bulb", air.wet_bulb_c(), "twb_pl_C", 0.0, 2e-3);
        let near_freezing = cell("twb_cp_C").abs() < 1.0;
        close("wet bulb", air.wet_bulb_c(), "twb_cp_C", 0.0, if near_freezing { 0.67 } else { 0.06 });
        if let Some(dew_point) = air.dew_point_c() {
            close("dew point", dew_point, "tdp_pl_C", 0.0, 1.2e-2);
            close("dew point", dew_point, "tdp_cp_C", 0.0, 0.063);
        }
        states += 1;
    }
    assert_eq!(states, 156);
}

/// Saturation pressures of Hyland & Wexler (1983) as computed by `PsychroLib`, and of IAPWS-95 as
/// computed by `CoolProp`, Pa. Tolerance 5e-7 (printed digits) and 0.03 %.
#[test]
fn saturation_table() {
    for (t, hyland_wexler, iapws) in [
        (0.01, 611.657, 611.655),
        (10.0, 1227.995, 1228.199),
        (20.0, 2338.804, 2339.318),
        (25.0, 3169.216, 3169.929),
        (40.0, 7383.460, 7384.938),
        (60.0, 19943.76, 19946.43),
        (100.0, 101418.7, 101418.0),
    ] {
        let found = saturation_pressure_pa(t);
        // The table's first row is printed for the triple point, where ice and water meet.
        assert!((found / hyland_wexler - 1.0).abs() < 5e-6, "{t}: {found}");
        assert!((found / iapws - 1.0).abs() < 3e-4, "{t}: {found}");
    }
}

/// ASHRAE Fundamentals ch. 1 (SI), worked example: 40 °C dry bulb, 20 °C wet bulb, 101.325 kPa. The
/// book (answers from memory, not verified; it reads a chart) gives W 6.5 g/kg, h 56.7 kJ/kg, dew
/// point 7 °C, RH 14 %, v 0.896 m³/kg. Tolerance: the chart's reading.
#[test]
fn handbook_example_one_state() {
    let air = MoistAir::from_wet_bulb(40.0, 20.0, 101_325.0).expect("a state");
    assert_abs_diff_eq!(air.humidity_ratio() * 1000.0, 6.5, epsilon = 0.15);
    assert_abs_diff_eq!(air.enthalpy_kj_per_kg(), 56.7, epsilon = 0.1);
    assert_abs_diff_eq!(air.dew_point_c().expect("moist"), 7.0, epsilon = 0.5);
    assert_abs_diff_eq!(air.relative_humidity() * 100.0, 14.0, epsilon = 0.2);
    assert_abs_diff_eq!(air.specific_volume_m3_per_kg(), 0.896, epsilon = 0.001);
}

/// ASHRAE Fundamentals ch. 1 (SI), worked example: 10 m³/s of saturated air at 2 °C heated to 40 °C
/// takes about 490 kW (from memory, not verified). Tolerance 0.3 %.
#[test]
fn handbook_example_heating() {
    let air = MoistAir::from_relative_humidity(2.0, 1.0, 101_325.0).expect("a state");
    let heat_kw = 10.0 / air.specific_volume_m3_per_kg() * heat_to(&air, 40.0);
    assert_abs_diff_eq!(heat_kw, 490.0, epsilon = 1.5);
}

/// ASHRAE Fundamentals ch. 1 (SI), worked example: 2 m³/s at 4 °C/2 °C wet bulb mixed with 6.25 m³/s
/// at 25 °C/50 % gives 19.5 °C and 14.6 °C wet bulb (from memory, not verified). Tolerance 0.2 K, since
/// the book reads a chart.
#[test]
fn handbook_example_mixing() {
    let cold = MoistAir::from_wet_bulb(4.0, 2.0, 101_325.0).expect("a state");
    let warm = MoistAir::from_relative_humidity(25.0, 0.5, 101_325.0).expect("a state");
    let stream =
        |air: MoistAir, m3_per_s: f64| Stream { air, dry_air_kg_per_s: m3_per_s / air.specific_volume_m3_per_kg() };
    let mixed = mix(stream(cold, 2.0), stream(warm, 6.25)).expect("a mixture").air;
    assert_abs_diff_eq!(mixed.dry_bulb_c(), 19.5, epsilon = 0.2);
    assert_abs_diff_eq!(mixed.wet_bulb_c(), 14.6, epsilon = 0.2);
}

/// Çengel & Boles, *Thermodynamics*, ch. 14, heating with humidification: 45 m³/min at 10 °C/30 % heated
/// to 22 °C, then steam to 25 °C/60 %: 673 kJ/min and 0.539 kg/min (from memory, not verified).
/// Tolerance 1 %, since the book rounds the specific volume (0.815 for 0.805 m³/kg).
#[test]
fn textbook_heating_and_humidifying() {
    let start = MoistAir::from_relative_humidity(10.0, 0.3, 100_000.0).expect("a state");
    let end = MoistAir::from_relative_humidity(25.0, 0.6, 100_000.0).expect("a state");
    let kg_per_min = 45.0 / start.specific_volume_m3_per_kg();
    let heat = kg_per_min * heat_to(&start, 22.0);
    let steam = kg_per_min * (end.humidity_ratio() - start.humidity_ratio());
    assert!((heat / 673.0 - 1.0).abs() < 0.01, "{heat}");
    assert!((steam / 0.539 - 1.0).abs() < 0.01, "{steam}");
}

/// Through the binary: every state of the table again, the keys of the contract, and air too dry to
/// have a dew point as null rather than NaN.
#[test]
fn the_air_command_answers_with_the_same_figures() {
    let ran = dryledger(&["air", "--dry-bulb", "21", "--rh", "55", "--pressure", "101325", "--json"]).run();
    let air = ran.json();
    // States of the same table: 21 °C, 55 %: W 0.008513, h 42.750, v 0.84470, wet bulb 15.315.
    for (key, expected, tolerance) in [
        ("humidity_ratio", 0.008513, 1e-6),
        ("enthalpy_kj_per_kg", 42.750, 1e-3),
        ("specific_volume_m3_per_kg", 0.84470, 1e-5),
        ("wet_bulb_c", 15.315, 1e-3),
        ("relative_humidity_pct", 55.0, 1e-9),
    ] {
        let found = air[key].as_f64().unwrap_or_else(|| panic!("{key} in {air}"));
        assert!((found - expected).abs() <= tolerance, "{key} {found}");
    }
    let dry = dryledger(&["air", "--dry-bulb", "30", "--rh", "0", "--json"]).run().json();
    assert!(dry["dew_point_c"].is_null());
    dryledger(&["air", "--dry-bulb", "150", "--rh", "50"]).run().refused(&["150", "-60..100"]);
    dryledger(&["air", "--dry-bulb", "20", "--rh", "-5"]).run().refused(&["-5.0 %", "0..100 %"]);
    dryledger(&["air", "--dry-bulb", "nan", "--rh", "50"]).run().refused(&["NaN"]);
}
