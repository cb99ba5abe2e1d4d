//! Devices that call this counter: the symbol that lets one in, what each was given to sign, and
//! who proved who it is. All of it in memory: it ends with the page.

use std::collections::HashMap;
use std::sync::Mutex;
use std::time::Duration;

use hosewright_core::device::{Challenge, DeviceId, Role, Secret};
use hosewright_core::hose::Label;
use hosewright_page::Invited;
use sha2::{Digest, Sha256};
use zeroize::Zeroizing;

use super::lock::held;

/// How long a symbol lets a device in, a challenge may wait for its answer, and a meeting may
/// last.
const INVITED: Duration = Duration::from_secs(10 * 60);
const ANSWERED: Duration = Duration::from_secs(60);
const MEETING: Duration = Duration::from_secs(3600);
/// The most of each that are kept; the oldest goes.
const MOST: usize = 200;

/// As what a device comes in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Right {
    /// What it may write.
    pub role: Role,
    /// What people call it.
    pub name: Option<Label>,
    /// The pass phrase of the owner's key that admits it, if that has one.
    pub owner_pass: Option<Zeroizing<String>>,
}

/// A symbol on the screen.
struct Invitation {
    secret: Secret,
    right: Right,
    ends: Duration,
    /// The device that used it.
    used: Option<DeviceId>,
}

/// A device that proved who it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Called {
    /// The device.
    pub device: DeviceId,
    /// The fleet that it said to be of.
    pub fleet: Option<DeviceId>,
}

/// Devices that call this counter.
#[derive(Default)]
pub struct Callers {
    invitation: Mutex<Option<Invitation>>,
    challenges: Mutex<Vec<(Challenge, Duration)>>,
    /// By the hash of the word that each was given.
    meetings: Mutex<HashMap<[u8; 32], (Called, Duration)>>,
}

impl Callers {
    /// Shows a new symbol, in place of any other.
    pub fn invite(&self, secret: Secret, right: Right, now: Duration) {
        let ends = now + INVITED;
        *held(&self.invitation) = Some(Invitation { secret, right, ends, used: None });
    }

    /// Ends the symbol.
    pub fn uninvite(&self) {
        *held(&self.invitation) = None;
    }

    /// What became of the symbol.
    pub fn invited(&self, now: Duration) -> Invited<Secret> {
        match &*held(&self.invitation) {
            None => Invited::Nobody,
            Some(Invitation { used: Some(device), .. }) => Invited::Came(*device),
            Some(Invitation { ends, secret, .. }) if *ends > now => {
                Invited::Waiting { symbol: secret.clone(), minutes: (*ends - now).as_secs() / 60 }
            }
            Some(_) => Invited::Over,
        }
    }

    /// As what a device with this secret comes in, if a symbol that has it is shown and unused.
    /// Compared by hash: how long it takes says nothing.
    pub fn comes_as(&self, secret: &Secret, now: Duration) -> Option<Right> {
        let invitation = held(&self.invitation);
        let shown = invitation.as_ref().filter(|shown| shown.used.is_none() && shown.ends > now)?;
        let same = Sha256::digest(shown.secret.bytes()) == Sha256::digest(secret.bytes());
        same.then(|| shown.right.clone())
    }

    /// The symbol has let a device in, and lets in no other.
    pub fn came(&self, device: DeviceId) {
        if let Some(invitation) = &mut *held(&self.invitation) {
            invitation.used = Some(device);
            invitation.right.owner_pass = None;
        }
    }

    /// Keeps what a caller is to sign.
    pub fn challenge(&self, challenge: Challenge, now: Duration) {
        let mut all = held(&self.challenges);
        all.retain(|(_, ends)| *ends > now);
        let over = (all.len() + 1).saturating_sub(MOST);
        all.drain(..over);
        all.push((challenge, now + ANSWERED));
    }

    /// The challenges that were given out and not answered yet, each of which counts once: the
    /// one for which `is_it` holds is taken out.
    pub fn answered(&self, now: Duration, is_it: impl Fn(&Challenge) -> bool) -> bool {
        let mut all = held(&self.challenges);
        all.retain(|(_, ends)| *ends > now);
        let at = all.iter().position(|(challenge, _)| is_it(challenge));
        at.map(|at| all.remove(at)).is_some()
    }

    /// A meeting begins under a word of random bits.
    pub fn begin(&self, word: &str, called: Called, now: Duration) {
        let mut all = held(&self.meetings);
        all.retain(|_, (_, ends)| *ends > now);
        if all.len() >= MOST
            && let Some(first) = all.iter().min_by_key(|(_, (_, ends))| *ends).map(|(key, _)| *key)
        {
            all.remove(&first);
        }
        all.insert(Sha256::digest(word).into(), (called, now + MEETING));
    }

    /// Who meets under a word.
    pub fn of(&self, word: &str, now: Duration) -> Option<Called> {
        let key: [u8; 32] = Sha256::digest(word).into();
        let found = held(&self.meetings).get(&key).copied();
        found.filter(|(_, ends)| *ends > now).map(|(called, _)| called)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn at(seconds: u64) -> Duration {
        Duration::from_secs(seconds)
    }

    fn secret(text: &str) -> Secret {
        text.repeat(26).parse().unwrap()
    }

    #[test]
    fn a_symbol_counts_once_and_for_its_minutes() {
        let callers = Callers::default();
        let (right, wrong) = (secret("A"), secret("Q"));
        assert!(callers.comes_as(&right, at(0)).is_none(), "none is shown");
        let bench = Right { role: Role::Bench, name: None, owner_pass: None };
        callers.invite(right.clone(), bench.clone(), at(0));
        assert!(callers.comes_as(&wrong, at(1)).is_none());
        assert_eq!(callers.comes_as(&right, at(599)), Some(bench));
        assert!(callers.comes_as(&right, at(600)).is_none(), "over");
        assert!(matches!(callers.invited(at(600)), Invited::Over));
        let device = DeviceId::Signed([1; 32]);
        callers.came(device);
        assert!(callers.comes_as(&right, at(2)).is_none(), "used");
        assert!(matches!(callers.invited(at(2)), Invited::Came(one) if one == device));
        callers.uninvite();
        assert!(matches!(callers.invited(at(2)), Invited::Nobody));
    }

    #[test]
    fn a_challenge_counts_once_and_for_a_minute() {
        let callers = Callers::default();
        let (one, two) = (Challenge([1; 32]), Challenge([2; 32]));
        callers.challenge(one, at(0));
        callers.challenge(two, at(0));
        assert!(callers.answered(at(1), |given| *given == one));
        assert!(!callers.answered(at(1), |given| *given == one), "once");
        assert!(!callers.answered(at(60), |given| *given == two), "late");
        (0..1000).for_each(|n| {
            callers.challenge(Challenge([u8::try_from(n % 256).unwrap(); 32]), at(1))
        });
        assert_eq!(held(&callers.challenges).len(), MOST);
    }

    #[test]
    fn a_meeting_ends() {
        let callers = Callers::default();
        let called = Called { device: DeviceId::Signed([1; 32]), fleet: None };
        callers.begin("word", called, at(0));
        assert_eq!(callers.of("word", at(3599)), Some(called));
        assert!(callers.of("word", at(3600)).is_none() && callers.of("", at(1)).is_none());
    }
}
