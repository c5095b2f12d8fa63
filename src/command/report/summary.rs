//! The answer in a few lines for the terminal.

use crate::answer::{
    self as told, Figures, GuardOfOptions, OptionFigures, SampledFigures, WeatherFigures, guards_of_options,
    weather_doubts,
};
use crate::number::{Digits, Measure, Money, kilogram, percent, three, tonne};
use crate::uncertainty::DrawOdds;
use std::fmt::Write;
use std::path::Path;

/// The answer in a few lines for the terminal.
pub(super) fn summary(figures: &Figures, out: Option<&Path>) -> String {
    let season = &figures.season;
    let mut text = format!("{}\n", figures.study.title);
    for set in &figures.set {
        let _ = writeln!(text, "set for this run: {}", told::set_words(set));
        let is_in =
            |path: &str, of: &str| path.strip_prefix(of).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'));
        let sets_it = |own: &told::SetFigures| is_in(&set.path, &own.path);
        for option in figures.options.iter().filter(|option| option.set.iter().any(sets_it)) {
            let _ = writeln!(text, "\"{}\" sets that itself, so that this run does not change it there", option.name);
        }
    }
    let years: Vec<&str> = figures.weather.years.iter().map(|year| year.label.as_str()).collect();
    let (mass, water) = (Measure::of("t"), Measure::of("kg/t"));
    let _ = writeln!(
        text,
        "{:.0} {} {} received, {:.0} {} dried; {:.0} {} water per received {}; weather {}{}\n",
        Digits(mass.value(season.received_t)),
        mass.sign(),
        figures.study.crop,
        Digits(mass.value(season.dried_t)),
        mass.sign(),
        Digits(water.value(season.water_kg_per_received_t)),
        kilogram(),
        tonne(),
        years.join(", "),
        invented(&figures.weather)
    );
    text.push_str(&side_by_side(figures));
    let _ = writeln!(text, "\n{}", verdict(figures));
    if let Some(sentence) = told::level_sentence(figures) {
        let _ = writeln!(text, "{sentence}");
    }
    let heat = Measure::heat("MWh");
    for option in figures.options.iter().filter(|option| !option.set.is_empty()) {
        let set: Vec<String> = option.set.iter().map(told::set_words).collect();
        let _ = writeln!(
            text,
            "\"{}\" sets {}; heat need {} {}",
            option.name,
            set.join("; "),
            megawatt_hours(&heat, option.heat_need_kwh),
            heat.sign()
        );
    }
    text.push_str(&heated_by(figures));
    for option in figures.options.iter().filter(|option| !option.does_the_work) {
        let left: Vec<&str> = option.work_left.iter().map(|left| &*left.sentence).collect();
        let _ = writeln!(text, "\"{}\" does not do the work: it {}", option.name, left.join("; it "));
    }
    for sentence in told::screening_sentences(figures) {
        let _ = writeln!(text, "{sentence}");
    }
    if let Some(sampled) = &figures.uncertainty {
        let _ = writeln!(text, "{}", sure(figures, sampled));
        if let Some(said) = narrowing(figures, sampled) {
            let _ = writeln!(text, "{said}");
        }
    }
    text.push_str(&in_scenarios(figures));
    for fired in guards_of_options(&figures.options) {
        let _ = writeln!(text, "guard{}: {}", of_options(figures, &fired), fired.guard.sentence);
    }
    text.push_str(&growth(figures));
    for doubt in weather_doubts(figures) {
        let _ = writeln!(text, "doubt about the weather: {}", doubt.sentence);
    }
    for sentence in told::unmeasured_sentences(&figures.unmeasured) {
        let _ = writeln!(text, "not measured: {sentence}");
    }
    match out {
        Some(out) => {
            let _ = writeln!(text, "report: {}", out.join("report.html").display());
        }
        None => text.push_str("no report was written, and the study's own is as it was; --out DIR writes one\n"),
    }
    text
}

/// The study in each phase of growth, and what planned growth, loan and tax make of the answer.
fn growth(figures: &Figures) -> String {
    let mut text = String::new();
    let money = Money::of(&figures.study.currency);
    for phase in told::told_phases(figures).iter().filter(|phase| phase.is_grown) {
        let from = phase.year.map_or_else(String::new, |year| format!(", from season {year}"));
        let guards: Vec<&str> = phase.guards.iter().map(|guard| guard.name.as_str()).collect();
        let fired = if guards.is_empty() { String::new() } else { format!("; guards: {}", guards.join(", ")) };
        let _ = writeln!(
            text,
            "growth, {}{from}, \"{}\": {} of energy a season, peak {} kW{fired}",
            phase.name,
            phase.option,
            money.prose(phase.total_cost),
            three(phase.electric_peak_kw)
        );
    }
    for sentence in told::over_years_sentences(figures) {
        let _ = writeln!(text, "{sentence}");
    }
    text
}

/// What packages heat by: the heaters of what they include come with it.
fn heated_by(figures: &Figures) -> String {
    let mut text = String::new();
    for option in &figures.options {
        // A measure of the plant alone has the baseline's heating, and nothing comes with it.
        let others = option.includes.iter().filter(|name| **name != figures.study.baseline);
        let others: Vec<&str> = others.map(String::as_str).collect();
        if !others.is_empty() {
            let heaters: Vec<&str> = option.sources.iter().map(|source| source.name.as_str()).collect();
            let (name, others) = (&option.name, others.join("\", \""));
            let _ = writeln!(text, "\"{name}\" includes \"{others}\", and heats by {}", heaters.join(", then "));
        }
    }
    text
}

/// Energy in MWh, or what stands in its place, with a decimal.
fn megawatt_hours(measure: &Measure, kwh: f64) -> String {
    format!("{:.*}", measure.decimals(1), Digits(measure.value(kwh / 1000.0)))
}

/// The options, a line each.
fn side_by_side(figures: &Figures) -> String {
    let (heat, for_water) = (Measure::heat("MWh"), Measure::of("MJ/kg"));
    let mut text = String::new();
    let currency = &figures.study.currency;
    let longest = figures.options.iter().map(|option| option.name.chars().count()).max();
    let width = longest.unwrap_or(0).max("option".len()) + 2;
    // What a plant has of its own is told apart from what it purchases.
    let has_own = figures.options.iter().any(|option| option.own_kwh > 0.0);
    let energy = |used: &str, own: &str, purchased: &str| {
        let whose = if has_own { format!("{used:>8}{own:>8}") } else { String::new() };
        format!("{whose}{purchased:>11}")
    };
    for [name, given, used, own, purchased, specific, peak, bill, present] in [
        ["option", "heat given", "used", "own", "purchased", for_water.sign(), "peak kW", "bill", "net present"],
        ["", heat.sign(), heat.sign(), heat.sign(), heat.sign(), "water", "electric", currency, currency],
    ] {
        let energy = energy(used, own, purchased);
        let _ = writeln!(text, "{name:<width$}{given:>11}{energy}{specific:>8}{peak:>10}{bill:>11}{present:>13}");
    }
    let mwh = |kwh: f64| megawatt_hours(&heat, kwh);
    for option in &figures.options {
        let specific = option
            .mj_per_kg_water
            .map_or("-".to_owned(), |mj| format!("{:.*}", for_water.decimals(1), Digits(for_water.value(mj))));
        let is_best = figures.study.recommended.as_ref() == Some(&option.name);
        let mark = if is_best { " *" } else { "" };
        let _ = writeln!(
            text,
            "{:<width$}{:>11}{}{:>8}{:>10.0}{:>11.0}{:>13.0}{mark}",
            option.name,
            mwh(option.heat_delivered_kwh),
            energy(&mwh(option.used_kwh), &mwh(option.own_kwh), &mwh(option.purchased_kwh)),
            specific,
            Digits(option.electric_peak_kw),
            Digits(option.total_cost),
            Digits(option.life_cycle.net_present_cost),
        );
    }
    text
}

/// A line for each scenario, and which choice is regretted least; nothing where there are none.
fn in_scenarios(figures: &Figures) -> String {
    let Some(all) = &figures.scenarios else { return String::new() };
    let currency = &figures.study.currency;
    let mut text = String::new();
    for scenario in all.scenarios.iter().filter(|scenario| !scenario.set.is_empty()) {
        let best = scenario.best.as_ref();
        let best = best.and_then(|best| scenario.options.iter().find(|option| option.option == *best));
        let _ = match best {
            Some(best) => writeln!(
                text,
                "scenario, {}: best is \"{}\", bill {:.0} {currency}, net present {:.0}{}",
                scenario.name,
                best.option,
                Digits(best.total_cost),
                Digits(best.net_present_cost),
                if best.nuts_spoil { "; no plan, for nuts may spoil" } else { "" }
            ),
            None => writeln!(text, "scenario, {}: no option does the work", scenario.name),
        };
    }
    let least = all.least_regret.as_ref().and_then(|least| all.regrets.iter().find(|regret| regret.option == *least));
    let _ = match least.and_then(|regret| Some((regret, regret.greatest?))) {
        Some((regret, most)) if most > 0.0 => writeln!(
            text,
            "scenarios: \"{}\" is regretted least, by {:.0} {currency} at most ({})",
            regret.option,
            Digits(most),
            regret.in_scenario.as_deref().unwrap_or_default()
        ),
        Some((regret, _)) => {
            let options = all.scenarios.iter().flat_map(|scenario| &scenario.options);
            let spoils = options.filter(|one| one.option == regret.option).any(|one| one.nuts_spoil);
            let yet = if spoils { ", though nuts may spoil with it" } else { "" };
            writeln!(text, "scenarios: \"{}\" is best in all of them{yet}", regret.option)
        }
        None => writeln!(text, "scenarios: no option does the work in all of them"),
    };
    text
}

/// The options in which a guard fired: `, all options (4.4 to 33.3 kW), at worst "gas"`; nothing of a study's
/// only option.
fn of_options(figures: &Figures, fired: &GuardOfOptions<'_>) -> String {
    if figures.options.len() == 1 {
        return String::new();
    }
    let who = if fired.in_all { "all options".to_owned() } else { format!("\"{}\"", fired.options.join("\", \"")) };
    let range = fired.range().map_or_else(String::new, |range| format!(" ({range})"));
    let worst = fired.worst_in.map_or_else(String::new, |name| format!(", at worst \"{name}\""));
    format!(", {who}{range}{worst}")
}

/// What the mark means, or that there is none.
fn verdict(figures: &Figures) -> String {
    match &figures.study.recommended {
        Some(name) => {
            let best = figures.options.iter().find(|option| option.name == *name);
            let spoiling = best.map_or_else(Vec::new, told::spoiling);
            let no_plan = if spoiling.is_empty() {
                String::new()
            } else {
                format!("; no plan yet, for nuts may spoil: {}", spoiling.join(", "))
            };
            format!(
                "* lowest net present cost over {} years among the options that do the work{no_plan}",
                figures.study.money_years
            )
        }
        None => "no option does the work, so that none is better than another".to_owned(),
    }
}

/// How much of the weather is invented, as it stands behind its years.
fn invented(weather: &WeatherFigures) -> String {
    match (weather.synthetic, weather.invented_hours) {
        (false, _) => String::new(),
        (true, hours) if hours < weather.hours => {
            format!(" ({hours} of {} hours invented)", weather.hours)
        }
        (true, _) => " (invented)".to_owned(),
    }
}

/// How sure, in a line: the best option's odds against the baseline, or else how often it is the best.
fn sure(figures: &Figures, sampled: &SampledFigures) -> String {
    let study = &figures.study;
    let draws = sampled.samples;
    let Some(best) = &study.recommended else {
        return format!("{draws} draws: none is best with the study's own values") + &undone(figures);
    };
    if told::mostly_undone(figures, best) {
        return format!(
            "{draws} draws: \"{best}\", the best with the study's own values, leaves work undone in most of them, so that its cost is no measure"
        ) + &undone(figures);
    }
    let against = sampled.odds.iter().find(|odds| odds.option == *best && odds.against == study.baseline);
    let said = if let Some(odds) = against {
        format!(
            "{draws} draws: \"{best}\" has a lower net present cost than \"{}\" in {} of them ({}), by {:.0} to {:.0} {} ({})",
            study.baseline,
            odds.in_draws.in_draws,
            bounds(&odds.in_draws),
            Digits(odds.net_saving.low()),
            Digits(odds.net_saving.high()),
            study.currency,
            if odds.net_saving.has_tenths() { "P10 to P90" } else { "lowest to highest" },
        )
    } else {
        let option = figures.options.iter().find(|option| option.name == *best);
        let first = option.and_then(|option| option.uncertainty.best_in_draws).unwrap_or_default();
        format!("{draws} draws: \"{best}\" is the best option in {} of them ({})", first.in_draws, bounds(&first))
    };
    said + &undone(figures)
}

/// How far the bill in question ranges, and what would narrow it most.
fn narrowing(figures: &Figures, sampled: &SampledFigures) -> Option<String> {
    let study = &figures.study;
    let name = study.recommended.as_ref().unwrap_or(&study.baseline);
    let option = figures.options.iter().find(|option| option.name == *name)?;
    let cost = &option.uncertainty.total_cost;
    let range = format!(
        "the bill of \"{name}\" lies between {:.0} and {:.0} {} ({}), over {} draws of {} inputs in doubt",
        Digits(cost.low()),
        Digits(cost.high()),
        study.currency,
        if cost.has_tenths() { "P10 to P90" } else { "lowest to highest" },
        sampled.samples,
        sampled.inputs.len(),
    );
    let worth = sampled.bill_of(name).and_then(|bill| sampled.worth_knowing(bill).next());
    Some(match worth {
        None => range,
        Some((input, gone)) => {
            let what = match input.cure {
                Some(cure) => format!("the {} ({cure})", input.name),
                None => format!("\"{}\"", input.path),
            };
            format!("{range}; knowing {what} takes {} off that range", percent(gone * 100.0))
        }
    })
}

/// What so many draws can know of a share.
fn bounds(odds: &DrawOdds) -> String {
    let (low, high) = (odds.low * 100.0, odds.high * 100.0);
    if odds.in_draws == odds.of_draws {
        format!("at least {low:.0} %")
    } else if odds.in_draws == 0 {
        format!("at most {high:.0} %")
    } else {
        format!("{low:.0} to {high:.0} %")
    }
}

/// Options that leave the work undone in some draws, so that their low cost there is no measure.
fn undone(figures: &Figures) -> String {
    let of_option = |option: &OptionFigures| {
        let done_pct = option.uncertainty.does_the_work_in_draws_pct?;
        (done_pct < 100.0).then(|| format!("\"{}\" in {}", option.name, percent(100.0 - done_pct)))
    };
    let all: Vec<String> = figures.options.iter().filter_map(of_option).collect();
    if all.is_empty() {
        return String::new();
    }
    format!("; the work is left undone by {} of draws", all.join(", "))
}
