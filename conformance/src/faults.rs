//! Answers the checks of `conformance/faults/`: chances of causes, orders of repair, information, counts, spares.
//!
//! A network is given as a text of fault knowledge, read by the crate's own reader; without one, the whole embedded knowledge is meant.

use faults::{
    Answer as Said, Base, Candidate, Counts, Evidence, Facts, GammaRate, beta_mean, by_chance_over_cost,
    dirichlet_means, entropy, expected_cost, expected_information, posterior, priors,
};
use toml_edit::Table;

use crate::given::{Answer, Given, named, told};

/// Our answer to a check: what is asked, and the values given.
pub(crate) fn answer(kind: &str, given: &Table) -> Result<Answer, String> {
    let given = Given::of(given);
    match kind {
        "posteriors" => posteriors(&given),
        "noisy_or" => noisy_or(&given),
        "sprinkler" => sprinkler(&given),
        "repair_order" => repair_order(&given),
        "information" => information(&given),
        "spares" => spares(&given),
        "dirichlet" => {
            let shares = dirichlet_means(&given.numbers("alphas")?, &given.numbers("counts")?);
            Ok(shares
                .into_iter()
                .enumerate()
                .map(|(at, share)| (format!("share_{}", at + 1), share))
                .collect())
        }
        "beta" => {
            let [looks, chance, times, looked] =
                ["looks", "chance", "times", "looked"].map(|key| given.number(key));
            Ok(named([("mean", beta_mean(looks?, chance?, times?, looked?))]))
        }
        _ => Err(format!("unknown kind `{kind}`")),
    }
}

fn words(given: &Given<'_>, key: &str) -> Result<Vec<String>, String> {
    let list = given.array(key)?.iter().map(|item| item.as_str().map(str::to_owned));
    list.collect::<Option<Vec<String>>>().ok_or(format!("`{key}` must be a list of words"))
}

fn read(text: &str) -> Result<Base, String> {
    let (base, faults) = Base::read(text);
    if faults.is_empty() { Ok(base) } else { Err(faults.iter().map(told).collect::<Vec<_>>().join("; ")) }
}

fn evidence(base: &Base, about: &str, seen: &str, tried: &str) -> Result<Evidence, String> {
    let mut evidence = Evidence { complaint: base.sign(about), seen: Vec::new() };
    let number =
        |word: Option<&str>| word.and_then(|word| word.parse().ok()).ok_or("no likelihood".to_owned());
    for word in seen.split("; ").filter(|word| !word.is_empty()) {
        let mut parts = word.split(' ');
        let said =
            Said::Sign { id: parts.next().unwrap_or_default().to_owned(), seen: number(parts.next())? };
        evidence.seen.push(said.observation(base).map_err(told)?);
    }
    for word in tried.split("; ").filter(|word| !word.is_empty()) {
        let mut parts = word.split(' ').map(str::to_owned);
        let (id, outcome) = (parts.next().unwrap_or_default(), parts.next().unwrap_or_default());
        let said = Said::Test { id, outcome, sure: number(parts.next().as_deref())? };
        evidence.seen.push(said.observation(base).map_err(told)?);
    }
    Ok(evidence)
}

fn posteriors(given: &Given<'_>) -> Result<Answer, String> {
    let about = words(given, "about")?;
    let (seen, tried) = (words(given, "seen")?, words(given, "tried")?);
    let mut answer = Answer::new();
    for (number, about) in about.iter().enumerate() {
        let base = if given.has("knowledge") {
            read(&words(given, "knowledge")?[number])?
        } else {
            Base::embedded().0
        };
        let mut facts = Facts::usual(&base);
        for word in if given.has("facts") { words(given, "facts")? } else { Vec::new() } {
            let (id, holds) = word.split_once(' ').ok_or("a fact is an id with yes or no")?;
            if !facts.say(&base, id, holds == "yes") {
                return Err(format!("no fact `{id}`"));
            }
        }
        let priors = priors(&base, &facts, &Counts::default());
        let evidence = evidence(&base, about, &seen[number], &tried[number])?;
        let found = posterior(&base, &priors, &evidence).map_err(told)?;
        for (cause, chance) in base.causes.iter().zip(found.chances) {
            answer.insert(format!("n{number}_{}", cause.id), chance);
        }
    }
    Ok(answer)
}

/// A base of one sign and some causes, by their priors and links.
fn one_sign(leak: f64, causes: &[(&str, f64, f64)]) -> Result<Base, String> {
    let mut text = format!(
        "creance_faults = 1\nsound_divides = 3\nminutes_per_part = 6\nhand_over_minutes = 240\ncomplaint_leak = 1\nperhaps = 0.7\n\
         lore_visits = 20\nlore_looks = 10\nfluke = 0.01\nsettle_minutes = 2\n\
         [sign.shown]\nis = \"shown\"\nleak = {leak}\nminutes = 1\nbasis = \"expert estimate\"\n\
         [sign.other]\nis = \"other\"\nleak = 0\nminutes = 1\nbasis = \"expert estimate\"\n"
    );
    for (id, _, link) in causes {
        // `other` is brought by rain alone and surely: seeing it is knowing of rain.
        let also = if *id == "rain" { ", other = 1.0" } else { "" };
        text += &format!(
            "[cause.{id}]\nis = \"{id}\"\nside = \"air\"\nweight = 1\nsigns = {{ shown = {link}{also} }}\nbasis = \"expert estimate\"\n"
        );
    }
    read(&text)
}

fn asked(base: &Base, chances: &[f64], seen: &str) -> Result<faults::Posterior, String> {
    let mut priors = priors(base, &Facts::usual(base), &Counts::default());
    priors.chances = chances.to_vec();
    posterior(base, &priors, &evidence(base, "", seen, "")?).map_err(told)
}

fn noisy_or(given: &Given<'_>) -> Result<Answer, String> {
    let links = given.numbers("links")?;
    let causes: Vec<(&str, f64, f64)> =
        ["a", "b", "c"].into_iter().zip(links).map(|(id, link)| (id, 0.0, link)).collect();
    let base = one_sign(given.number("leak")?, &causes)?;
    let mut answer = Answer::new();
    for set in 0..8_u32 {
        let chances: Vec<f64> = (0..3).map(|bit| f64::from(set >> bit & 1)).collect();
        let name: String = (0..3).filter(|bit| set >> bit & 1 == 1).map(|bit| causes[bit].0).collect();
        let chance = asked(&base, &chances, "shown 1").map_or(0.0, |found| found.log_evidence.exp());
        answer.insert(if name.is_empty() { "none".to_owned() } else { name }, chance);
    }
    Ok(answer)
}

/// The sky is a fact with a chance of its own: both skies are asked and weighed by how likely each makes the evidence.
fn sprinkler(given: &Given<'_>) -> Result<Answer, String> {
    let number = |key: &str| given.number(key);
    let base = one_sign(
        0.0,
        &[("sprinkler", 0.0, number("wet_by_sprinkler")?), ("rain", 0.0, number("wet_by_rain")?)],
    )?;
    let seen = if given.has("rain_is_seen") { "shown 1; other 1" } else { "shown 1" };
    let cloudy = number("cloudy")?;
    let skies = [
        (cloudy, number("sprinkler_if_cloudy")?, number("rain_if_cloudy")?),
        (1.0 - cloudy, number("sprinkler_if_clear")?, number("rain_if_clear")?),
    ];
    let (mut wet, mut sprinkler, mut rain) = (0.0, 0.0, 0.0);
    for (sky, by_sprinkler, by_rain) in skies {
        let found = asked(&base, &[by_sprinkler, by_rain], seen)?;
        let weight = sky * found.log_evidence.exp();
        wet += weight;
        sprinkler += weight * found.chances[0];
        rain += weight * found.chances[1];
    }
    Ok(named([("wet", wet), ("sprinkler", sprinkler / wet), ("rain", rain / wet)]))
}

fn repair_order(given: &Given<'_>) -> Result<Answer, String> {
    let pairs = given.numbers("chances")?.into_iter().zip(given.numbers("costs")?);
    let candidates: Vec<Candidate> = pairs.map(|(chance, cost)| Candidate { chance, cost }).collect();
    let order = by_chance_over_cost(&candidates);
    let mut by_chance: Vec<usize> = (0..candidates.len()).collect();
    by_chance.sort_by(|a, b| candidates[*b].chance.total_cmp(&candidates[*a].chance));
    let mut answer = named([
        ("least", expected_cost(&candidates, &order)),
        ("by_chance_alone", expected_cost(&candidates, &by_chance)),
    ]);
    answer.extend(order.iter().enumerate().map(|(at, one)| (format!("place_{}", at + 1), (one + 1) as f64)));
    Ok(answer)
}

fn information(given: &Given<'_>) -> Result<Answer, String> {
    let belief = given.numbers("belief")?;
    let rows: Vec<Vec<f64>> =
        given.numbers("likelihoods")?.chunks(belief.len()).map(<[f64]>::to_vec).collect();
    let (bits, chances) = expected_information(&belief, &rows);
    let mut answer = named([("doubt", entropy(&belief)), ("bits", bits)]);
    answer
        .extend(chances.into_iter().enumerate().map(|(at, chance)| (format!("outcome_{}", at + 1), chance)));
    Ok(answer)
}

fn spares(given: &Given<'_>) -> Result<Answer, String> {
    let prior = GammaRate { shape: given.number("shape")?, flights: given.number("flights_worth")? };
    let rate = prior.after(given.number("failures")?, given.number("flown")?);
    let (flights, sure) = (given.number("flights")?, given.number("sure")?);
    let number = rate.enough(flights, sure);
    Ok(named([
        ("number", f64::from(number)),
        ("suffices", rate.at_most(number, flights)),
        ("exactly_one", rate.chance(1, flights)),
        ("mean_rate", rate.mean()),
    ]))
}
