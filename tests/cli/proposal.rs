//! `[application] proposal`: the option that a study applies for, and what is said of one that should not be.

use super::application::{leave_out_from, life, number, option, report, section, study};
use super::faults::replace;
use crate::case::dryledger;
use serde_json::Value;
use tempfile::TempDir;

/// The small study that applies for this option, with a grant of a half.
fn applying_for(option: &str) -> TempDir {
    study(&format!("grant_share = 0.5\n\n[application]\nproposal = \"{option}\""))
}

#[test]
fn a_proposal_that_is_no_option_or_the_baseline_is_refused() {
    for (name, words) in [
        ("gass", ["study.toml:94:12: ", "which no option is called", "did you mean \"gas\"?"]),
        ("electric", ["study.toml:94:12: ", "is \"electric\", the baseline", "one of gas, "]),
        // The nearest name is the baseline's: it is not offered.
        ("electrik", ["study.toml:94:12: ", "which no option is called", "name an option"]),
    ] {
        let folder = applying_for(name);
        dryledger(&["check", "study.toml"]).in_folder(folder.path()).run().refused(&words);
    }
}

/// What the study names is compared with the baseline, and the section says which option is recommended instead and
/// by how much it costs less.
#[test]
fn a_named_proposal_that_is_not_recommended_says_so() {
    let own = report(study("grant_share = 0.5").path());
    let best = own["study"]["recommended"].as_str().expect("a recommended option");
    let ranking = own["ranking"].as_array().expect("a ranking");
    let last = ranking.iter().rfind(|ranked| ranked["option"] != "electric").expect("another");
    let named = last["option"].as_str().expect("its name");
    assert_ne!((best, &own["study"]["proposal"]), (named, &Value::from(named)));
    let folder = applying_for(named);
    let figures = report(folder.path());
    assert_eq!(figures["study"]["proposal"], named);
    let application = &figures["application"];
    assert_eq!(application["proposal"], named);
    assert_eq!(application["named_by_study"], true);
    assert_eq!(application["is_recommended"], false);
    let said = section(folder.path()).0;
    assert!(said.contains("The study names it as the proposal."), "{said}");
    assert!(said.contains(&format!("It is not the recommended option: that is “{best}”")), "{said}");
    assert!(!said.contains("It is the best of the others"), "{said}");
}

/// The heater that cannot do the work is shown with the judgement's own words and without the grant that its savings
/// would pass.
#[test]
fn a_named_proposal_that_does_not_do_the_work_is_paid_nothing_and_says_why() {
    let folder = applying_for("gas");
    let small_gas = "carrier = \"lpg\"\ncapacity_kw = 3.0";
    replace(folder.path(), "study.toml", "carrier = \"lpg\"\ncapacity_kw = 30.0", small_gas);
    let figures = report(folder.path());
    let gas = option(&figures, "gas");
    assert_eq!(gas["does_the_work"], false);
    let left = gas["work_left"][0]["sentence"].as_str().expect("a sentence").replace('\u{a0}', " ");
    assert_eq!(number(life(&figures, "gas"), "grant"), 0.0);
    let refused = life(&figures, "gas")["grant_refused"].as_str().expect("a reason");
    assert!(refused.starts_with("No grant: it does not do the work"), "{refused}");
    let said = section(folder.path()).0;
    assert!(said.contains(&format!("It does not do the work: it {left}")), "{said}");
    assert!(said.contains("what it saves is not saved for equal work"), "{said}");
    assert!(said.contains("The recommended option is"), "{said}");
}

/// Without a name nothing that leaves work undone is proposed, and none is paid a grant: its net present cost is that
/// without one.
#[test]
fn what_leaves_work_undone_is_paid_no_grant() {
    let with = |share: &str| {
        let folder = study(&format!("grant_share = {share}"));
        let small_gas = "carrier = \"lpg\"\ncapacity_kw = 3.0";
        replace(folder.path(), "study.toml", "carrier = \"lpg\"\ncapacity_kw = 30.0", small_gas);
        leave_out_from(folder.path(), "condensers in room");
        report(folder.path())
    };
    let (none, half) = (with("0.0"), with("0.5"));
    assert_eq!(half["study"]["proposal"], Value::Null);
    assert_eq!(number(life(&half, "gas"), "grant"), 0.0);
    assert_eq!(life(&half, "gas")["net_present_cost"], life(&none, "gas")["net_present_cost"]);
}
