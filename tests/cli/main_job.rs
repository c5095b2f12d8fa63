//! The main job on real input: a study on a public-domain typical year, through the binary, against
//! published energy of dryers of its kind.

use crate::bundled::{DEMO, WHOLE_DEMO};
use crate::case::{DemoStudy, dryledger, number_at, root};
use serde_json::Value;

fn report(study: &str) -> Value {
    let out = tempfile::tempdir().expect("a folder");
    let study = root().join(study);
    let ran =
        dryledger(&["report", study.to_str().expect("UTF-8"), "--json", "--out", out.path().to_str().expect("UTF-8")])
            .run();
    ran.json()
}

/// Peanut wagons in Georgia, USA. Butts & Lamb 2009 (abstract read): 26.5 L of propane a tonne, dried to
/// 10 % w.b. in under 24 h in beds 1.3 m deep with 10 m³/min of air a m³; that is 5.6..7.0 MJ/kg water for
/// nuts received at 18..20 %. The weather is the district's typical year (NREL TMY3, public domain).
///
/// A check of consistency, not a blind prediction. The library's drying rate of peanuts (0.10 /h) is the one
/// with which this bed takes the 17.8 h that another publication gives from 19 to 11 % (Peanut Science,
/// article 807; 0.09 /h takes 18.8 h, 0.10 /h 17.4 h), but it was settled with this fuel figure in view:
/// the former placeholder of 0.06 /h burnt 36.1 L/t, 0.08 /h 30.1 and 0.12 /h 22.4. The air of that bin is
/// not stated, and 35 °C and the burner's 0.95 are assumptions. What it shows is that one rate meets the
/// published time and the published fuel together.
///
/// Tolerance: 15 % on the litres, since the received moisture of the measurement is not stated within 2
/// points, and the band 5..8 MJ/kg.
#[test]
fn peanut_wagons_burn_what_was_published() {
    let figures = report("tests/cases/peanut/study.toml");
    let litres = number_at(&figures, "/options/0/carriers/lpg/quantity");
    let per_tonne = litres / number_at(&figures, "/season/received_t");
    assert!((per_tonne / 26.5 - 1.0).abs() < 0.15, "{per_tonne} L/t");
    let fuel_mj = number_at(&figures, "/options/0/carriers/lpg/kwh") * 3.6;
    let per_water = fuel_mj / number_at(&figures, "/season/water_kg");
    assert!((5.0..8.0).contains(&per_water), "{per_water} MJ/kg");
    let hours = number_at(&figures, "/season/mean_drying_hours");
    assert!((15.0..24.0).contains(&hours), "{hours} h");
    // Moisture arithmetic: 1000 (0.19 - Mf)/(1 - Mf) kg a received tonne, at the moisture reached.
    let reached = number_at(&figures, "/season/dried_moisture_reached_pct_wb") / 100.0;
    let water = 1000.0 * (0.19 - reached) / (1.0 - reached);
    let found = number_at(&figures, "/season/water_kg_per_received_t");
    assert!((found / water - 1.0).abs() < 1e-3, "{found} against {water} kg/t");
}

/// The invented demo stays inside what is believable for its kind: hot-air batch drying takes 4..12 MJ/kg
/// (from memory, not verified); an outdoors condenser earns nothing; a heat pump dries 1..4 kg/kWh (Perera
/// & Rahman 1997, review read in part); all heat asked for was given; both balances close.
#[test]
fn the_demo_is_believable() {
    assert_believable(&DEMO.figures);
}

#[test]
#[ignore = "runs the demo with all its draws; `.ci/run` runs it"]
fn the_whole_season_of_the_demo_is_believable() {
    assert_believable(&WHOLE_DEMO.figures);
}

fn assert_believable(figures: &Value) {
    let options = figures["options"].as_array().expect("options");
    assert!(options.len() >= 6);
    for option in options {
        let specific = number_at(option, "/mj_per_kg_water");
        assert!((4.0..12.0).contains(&specific), "{specific} MJ/kg in {}", option["name"]);
        for residual in ["/residuals/water", "/residuals/energy"] {
            assert!(number_at(option, residual) < 1e-6, "{residual} of {}", option["name"]);
        }
        // One plant, one need: what is not given of it is spared by drying the air, or no hour asked for it.
        if option.get("set").is_none() {
            assert_eq!(option["heat_need_kwh"], options[0]["heat_need_kwh"]);
        }
        assert_eq!(number_at(option, "/heat_short_kwh"), 0.0, "{}", option["name"]);
        let spared = number_at(option, "/heat_need_kwh") - number_at(option, "/heat_delivered_kwh");
        match option.get("heat_spared_kwh").and_then(Value::as_f64) {
            Some(told) => assert!((spared - told).abs() < 1e-6 && told > 0.0),
            None => assert!(spared.abs() < 0.01 * number_at(option, "/heat_need_kwh"), "{spared}"),
        }
        let recovered = &option["recovered"];
        if option["condensers"] == "outdoors" {
            for key in ["gross_kwh", "useful_kwh", "penalty_kwh", "net_kwh", "net_money"] {
                assert_eq!(recovered[key].as_f64(), Some(0.0), "{key} of {}", option["name"]);
            }
        } else {
            assert!(number_at(recovered, "/useful_kwh") > 0.0);
            assert!(number_at(recovered, "/useful_kwh") <= number_at(recovered, "/gross_kwh"));
        }
    }
    let pump = options.iter().find(|option| option["name"] == "heat pump").expect("a heat pump");
    let kg_per_kwh = number_at(pump, "/kg_water_per_purchased_kwh");
    assert!((1.0..4.0).contains(&kg_per_kwh), "{kg_per_kwh} kg/kWh");
}

/// Heat given and energy purchased, by option.
fn taken(figures: &Value) -> Vec<(f64, f64)> {
    let options = figures["options"].as_array().expect("options");
    options
        .iter()
        .map(|option| (number_at(option, "/heat_delivered_kwh"), number_at(option, "/purchased_kwh")))
        .collect()
}

/// With half the step and twice the layers, no option moves by a hundredth.
fn assert_steady(study: impl Fn() -> DemoStudy) {
    let ran = |study: DemoStudy| {
        let folder = tempfile::tempdir().expect("a folder");
        let study = study.write(folder.path());
        taken(&report(study.to_str().expect("UTF-8")))
    };
    let finer = study()
        .change("starts = \"", "step_minutes = 30\nstarts = \"")
        .change("name = \"drying room\"", "name = \"drying room\"\nlayers = 24");
    let (before, after) = (ran(study()), ran(finer));
    assert!(before.len() > 12 && before.len() == after.len() && before != after);
    for (before, after) in before.iter().zip(after) {
        assert!((after.0 / before.0 - 1.0).abs() < 0.01, "{before:?} {after:?}");
        assert!((after.1 / before.1 - 1.0).abs() < 0.01, "{before:?} {after:?}");
    }
}

/// The demo's options in one weather year, without scenarios and growth.
fn options_alone() -> DemoStudy {
    DemoStudy::of("demo").part("# The world as it might be", "[money]", "").up_to("[[phase]]")
}

/// Halving the step and doubling the layers moves the demo's season by less than 1 %, in heat and in
/// purchased energy, for every option. Measured over the whole seasons: heat +0.01 % with two steps an hour, +0.003 %
/// with 24 layers, +0.02 % with both; purchased energy at most 0.36 % (the heat pump).
#[test]
fn finer_steps_and_layers_leave_the_demo_where_it_is() {
    assert_steady(|| options_alone().peak());
}

#[test]
#[ignore = "marches long seasons in fine steps; `.ci/run` runs it"]
fn finer_steps_and_layers_leave_the_whole_season_of_the_demo_where_it_is() {
    let both = root().join("weather").join("upland_20*.csv").display().to_string();
    let one = root().join("weather/upland_2032.csv").display().to_string();
    assert_steady(|| options_alone().change(&one, &both));
}
