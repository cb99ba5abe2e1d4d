//! The bench's tables, each as a form and what it answers: threads, spanners, keys,
//! torque and O-rings. They need no record.

use super::form::{Choice, Field, FieldRefused, Filled, Form, Kind};
use crate::fit::FitError;
use crate::fit::seal::{Joint, SEAL_CAUTIONS, Seals, UNKNOWN_SEALS, seals};
use crate::fit::thread::{Gender, Pitch, Reading, identify};
use crate::fit::tool::{
    KEY_CAUTIONS, Nut, SPANNER_CAUTIONS, Socket, Tools, key, spanner as spanners,
};
use crate::fit::torque::{Crowfoot, JointTorque, TORQUE_CAUTIONS, parse_angle, torque as torques};
use crate::hose::words;
use crate::swap::{Asks, Step};
use crate::words::bench as say;

words!(
    /// A table of the bench.
    Tool, "table", {
        /// Which thread a reading could be.
        Thread = "thread",
        /// Which spanner takes a nut.
        Spanner = "spanner",
        /// Which hexagon key takes a socket.
        Key = "key",
        /// A torque in every unit, and a wrench's setting.
        Torque = "torque",
        /// Which O-rings a joint takes.
        Seals = "seals",
    }
);

impl Tool {
    /// Its name, and what it answers.
    #[must_use]
    pub const fn words(self) -> [&'static str; 2] {
        match self {
            Self::Thread => say::THREAD,
            Self::Spanner => say::SPANNER,
            Self::Key => say::KEY,
            Self::Torque => say::TORQUE,
            Self::Seals => say::SEALS,
        }
    }

    /// The table that a step of a swap needs, if it needs one.
    #[must_use]
    pub fn of_step(step: &str) -> Option<Self> {
        match (step, Step::named(step)?.asks) {
            ("spanner", _) => Some(Self::Spanner),
            ("plug", _) => Some(Self::Key),
            (_, Asks::GoesIn) => Some(Self::Thread),
            (_, Asks::Torque) => Some(Self::Torque),
            (_, Asks::Seals) => Some(Self::Seals),
            _ => None,
        }
    }

    /// The form, as far as it is filled in, and what the table answers; nothing before
    /// something is asked.
    #[must_use]
    pub fn asked(self, filled: &Filled) -> (Form, Option<ToolAnswer>) {
        let [title, lead] = self.words();
        let form = Form::new(title, say::SHOW, self.fields()).lead(lead).filled(filled);
        if filled.is_empty() {
            return (form, None);
        }
        let read = self.read(filled);
        let mut form = form.checked(&read);
        if let Err(refused) = &read {
            form.refuse(&refused.field, &refused.words, true);
        }
        (form, read.ok())
    }

    fn fields(self) -> Vec<Field> {
        match self {
            Self::Thread => {
                let sides = [("male", say::MALE), ("female", say::FEMALE)];
                vec![
                    Field::choice("gender", say::MEASURED, sides).needed(),
                    Field::text("diameter", say::DIAMETER).hint(say::DIAMETER_HINT).needed(),
                    Field::text("pitch", say::PITCH).hint(say::PITCH_HINT),
                ]
            }
            Self::Spanner => vec![Field::text("nut", say::NUT).hint(say::NUT_HINT).needed()],
            Self::Key => vec![Field::text("socket", say::SOCKET).hint(say::SOCKET_HINT).needed()],
            Self::Torque => vec![
                Field::text("torque", say::JOINT).hint(say::JOINT_HINT),
                Field::text("crowfoot", say::CROWFOOT).hint(say::CROWFOOT_HINT),
                Field::text("wrench", say::WRENCH).hint(say::WRENCH_HINT),
                Field::text("angle", say::ANGLE).hint(say::ANGLE_HINT),
            ],
            Self::Seals => {
                let joints = Joint::all().filter_map(|joint| Some((joint, seals(joint)?)));
                let each = joints.map(|(joint, seals)| Choice::new(joint.to_string(), seals.joint));
                let all = std::iter::once(Choice::new("all", say::EVERY_JOINT));
                let kind = Kind::Choice(all.chain(each).collect());
                vec![Field::new("joint", say::WHICH_JOINT, kind).needed()]
            }
        }
    }

    fn read(self, filled: &Filled) -> Result<ToolAnswer, FieldRefused> {
        Ok(match self {
            Self::Thread => thread(filled)?,
            Self::Spanner => {
                ToolAnswer::of(&spanners(&measured(filled, "nut", Nut::parse)?), SPANNER_CAUTIONS)
            }
            Self::Key => {
                ToolAnswer::of(&key(&measured(filled, "socket", Socket::parse)?), KEY_CAUTIONS)
            }
            Self::Torque => torque(filled)?,
            Self::Seals => rings(filled)?,
        })
    }
}

/// What a table answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ToolAnswer {
    /// The answer, in a sentence or two; empty if its rows say it all.
    pub words: String,
    /// What comes into question: its name, how it fits, and the same in words.
    pub rows: Vec<[String; 3]>,
    /// What is to be heeded.
    pub cautions: &'static [&'static str],
}

impl ToolAnswer {
    /// The sizes that fit a nut or a socket, and those that nearly do.
    #[must_use]
    pub fn of(tools: &Tools, cautions: &'static [&'static str]) -> Self {
        let fits = tools.fits.iter().map(|fit| [fit.size, say::FITS, &fit.words]);
        let misses = tools.near_misses.iter();
        let misses = misses.map(|miss| [miss.size, say::NEAR_MISS, &miss.words]);
        let rows = fits.chain(misses).map(|row| row.map(str::to_owned)).collect();
        let words = tools.nothing_fits().unwrap_or_default().to_owned();
        Self { words, rows, cautions }
    }
}

fn measured<T>(
    filled: &Filled,
    name: &str,
    parse: impl FnOnce(&str) -> Result<T, FitError>,
) -> Result<T, FieldRefused> {
    let typed = filled.given(name).ok_or_else(|| FieldRefused::new(name, say::MEASURE_IT))?;
    parse(typed).map_err(|e| FieldRefused::new(name, e))
}

fn thread(filled: &Filled) -> Result<ToolAnswer, FieldRefused> {
    let gender = if filled.get("gender") == "female" { Gender::Female } else { Gender::Male };
    let pitch = filled.given("pitch").map(|typed| match typed.parse::<f64>() {
        Ok(threads) => Pitch::per_inch(threads),
        Err(_) => Pitch::parse(typed),
    });
    let pitch = pitch.transpose().map_err(|e| FieldRefused::new("pitch", e))?;
    let reading = measured(filled, "diameter", |typed| Reading::parse(gender, typed, pitch))?;
    let words = identify(&reading).words;
    Ok(ToolAnswer { words, rows: Vec::new(), cautions: &[] })
}

fn torque(filled: &Filled) -> Result<ToolAnswer, FieldRefused> {
    let joint = filled.given("torque").map(JointTorque::parse).transpose();
    let joint = joint.map_err(|e| FieldRefused::new("torque", e))?.unwrap_or_default();
    let angle = filled.given("angle").map(parse_angle).transpose();
    let angle = angle.map_err(|e| FieldRefused::new("angle", e))?;
    let crowfoot = match (filled.given("crowfoot"), filled.given("wrench")) {
        (None, None) => None,
        (Some(crowfoot), Some(wrench)) => {
            let refused = |e| FieldRefused::new("crowfoot", e);
            Some(Crowfoot::parse(crowfoot, wrench, angle).map_err(refused)?)
        }
        (None, Some(_)) => return Err(FieldRefused::new("crowfoot", say::BOTH)),
        (Some(_), None) => return Err(FieldRefused::new("wrench", say::BOTH)),
    };
    let words = torques(joint, crowfoot.as_ref()).to_string();
    Ok(ToolAnswer { words, rows: Vec::new(), cautions: TORQUE_CAUTIONS })
}

fn rings(filled: &Filled) -> Result<ToolAnswer, FieldRefused> {
    let joints: Vec<Joint> = match filled.get("joint") {
        "all" => Joint::all().collect(),
        typed => vec![typed.parse().map_err(|e: FitError| FieldRefused::new("joint", e))?],
    };
    let known = joints.into_iter().filter_map(seals);
    let rows = known.map(|known| ring_row(known.joint, Some(&known))).collect();
    Ok(ToolAnswer { words: String::new(), rows, cautions: SEAL_CAUTIONS })
}

/// The O-rings of a joint under a name: the name, the rings, and the same in words with
/// its warning. Nothing is said of rings that are not known.
#[must_use]
pub fn ring_row(name: &str, seals: Option<&Seals>) -> [String; 3] {
    let Some(Seals { rings, words, warning, .. }) = seals else {
        return [name.to_owned(), String::new(), UNKNOWN_SEALS.to_owned()];
    };
    let rings: Vec<String> = rings.iter().map(ToString::to_string).collect();
    let warning = warning.as_ref().map(|warning| format!(". {warning}")).unwrap_or_default();
    [name.to_owned(), rings.join(" "), format!("{words}{warning}")]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What is typed, by field.
    type Typed = &'static [(&'static str, &'static str)];

    fn asked(tool: Tool, typed: &[(&str, &str)]) -> (Form, Option<ToolAnswer>) {
        let mut filled = Filled::default();
        typed.iter().for_each(|(name, text)| filled.set(name, text));
        tool.asked(&filled)
    }

    #[test]
    fn each_table_answers_as_the_command_line_does() {
        let table: [(Tool, Typed, &str); 6] = [
            (Tool::Thread, &[("diameter", "9.4mm"), ("pitch", "24")], "3/8-24"),
            (Tool::Spanner, &[("nut", "15.9mm")], "16 mm"),
            (Tool::Key, &[("socket", "4mm")], "4 mm"),
            (Tool::Torque, &[("torque", "44 in-lb")], "N·m"),
            (Tool::Torque, &[("crowfoot", "30mm"), ("wrench", "200mm")], "set the wrench to"),
            (Tool::Seals, &[("joint", "swivel-pin")], "-003"),
        ];
        for (tool, typed, part) in table {
            let (form, answer) = asked(tool, typed);
            assert_eq!(form.problem, None, "{tool}");
            let said = answer.map(|a| format!("{} {:?}", a.words, a.rows)).unwrap_or_default();
            assert!(said.contains(part), "{tool}: {said}");
        }
        let all = asked(Tool::Seals, &[("joint", "all")]).1.map(|answer| answer.rows.len());
        assert_eq!(all, Some(Joint::all().count()));
    }

    #[test]
    fn what_is_missing_or_wrong_is_said_beside_its_field() {
        let table: [(Tool, Typed, &str); 7] = [
            (Tool::Thread, &[("gender", "male")], "diameter"),
            (Tool::Thread, &[("diameter", "9.4mm"), ("pitch", "nine")], "pitch"),
            (Tool::Spanner, &[("nut", "wide")], "nut"),
            (Tool::Torque, &[("torque", "44 N·m")], "torque"),
            (Tool::Torque, &[("crowfoot", "30mm")], "wrench"),
            (Tool::Torque, &[("wrench", "200mm")], "crowfoot"),
            (Tool::Seals, &[("joint", "elbow")], "joint"),
        ];
        for (tool, typed, field) in table {
            let (form, answer) = asked(tool, typed);
            assert_eq!(answer, None, "{tool}");
            let wrong = form.fields().find(|field| field.wrong.is_some());
            assert_eq!(wrong.map(|field| field.name.as_str()), Some(field), "{tool}");
        }
        for tool in Tool::ALL {
            let (form, answer) = asked(*tool, &[]);
            assert!(form.problem.is_none() && answer.is_none());
        }
    }

    #[test]
    fn a_step_that_needs_a_table_leads_to_it() {
        let table = [
            ("spanner", Some(Tool::Spanner)),
            ("plug", Some(Tool::Key)),
            ("started", Some(Tool::Thread)),
            ("tightened", Some(Tool::Torque)),
            ("seals", Some(Tool::Seals)),
            ("old-tag", None),
            ("nothing", None),
        ];
        for (step, tool) in table {
            assert_eq!(Tool::of_step(step), tool, "{step}");
        }
    }
}
