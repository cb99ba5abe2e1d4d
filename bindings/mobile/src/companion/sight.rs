//! What a camera has before it: which frames are worth a question.

/// So many frames without what was asked about, and it is out of sight: half a second.
/// A tag in a shaking hand is not read in each of them.
const AWAY: u32 = 15;

/// What was seen, and what came of it.
#[derive(Debug, Default)]
pub(super) struct Sight {
    /// What was asked about last and may still be in sight.
    asked: Vec<String>,
    /// For how many frames it was not seen.
    away: u32,
    /// A question is not answered yet.
    waits: bool,
    /// The page has what it was opened for.
    over: bool,
    /// What ticked off, and is not asked about again.
    ticked: Vec<String>,
}

impl Sight {
    /// Whether what a frame shows is asked about: once, as long as it is in sight, and
    /// nothing while a question is open or after it was answered.
    pub(super) fn frame(&mut self, texts: &[String]) -> bool {
        let mut texts = texts.to_vec();
        texts.retain(|text| !self.ticked.contains(text));
        texts.sort_unstable();
        texts.dedup();
        if !texts.is_empty() && texts == self.asked {
            self.away = 0;
            return false;
        }
        self.away = self.away.saturating_add(1);
        if self.away >= AWAY {
            self.asked.clear();
        }
        if texts.is_empty() || self.waits || self.over {
            return false;
        }
        (self.asked, self.away, self.waits) = (texts, 0, true);
        true
    }

    /// It was answered, and what was looked for is found.
    pub(super) fn found(&mut self) {
        (self.waits, self.over) = (false, true);
    }

    /// It ticked off, and the next is looked for.
    pub(super) fn ticked(&mut self) {
        self.waits = false;
        self.ticked.append(&mut self.asked);
    }

    /// It was refused. What passes by itself is asked again as it is seen again.
    pub(super) fn refused(&mut self, passes: bool) {
        self.waits = false;
        if passes {
            self.asked.clear();
        }
    }

    /// The page is looked at again. What is still in sight was answered already.
    pub(super) fn look(&mut self) {
        (self.waits, self.over) = (false, false);
    }

    /// The person puts away what was said, and asks again.
    pub(super) fn forget(&mut self) {
        self.asked.clear();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(all: &[&str]) -> Vec<String> {
        all.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn a_tag_is_asked_about_once_as_long_as_it_is_in_sight() {
        let mut sight = Sight::default();
        assert!(sight.frame(&texts(&["a"])));
        assert!(!sight.frame(&texts(&["b"])), "a question is open");
        sight.found();
        assert!(!sight.frame(&texts(&["b"])), "the answer is on its way");
        sight.look();
        assert!(!sight.frame(&texts(&["a"])), "still in sight after the way back");
        for _ in 0..AWAY {
            assert!(!sight.frame(&[]));
        }
        assert!(sight.frame(&texts(&["a"])), "it was away");
    }

    #[test]
    fn frames_in_which_it_is_not_read_do_not_take_it_out_of_sight() {
        let mut sight = Sight::default();
        assert!(sight.frame(&texts(&["a", "b"])));
        sight.refused(false);
        for _ in 0..100 {
            for _ in 1..AWAY {
                assert!(!sight.frame(&[]));
            }
            assert!(!sight.frame(&texts(&["b", "a", "b"])), "in whatever order");
        }
    }

    #[test]
    fn what_ticked_off_is_passed_over_beside_what_comes_next() {
        let mut sight = Sight::default();
        assert!(sight.frame(&texts(&["a"])));
        sight.ticked();
        assert!(!sight.frame(&texts(&["a"])));
        assert!(sight.frame(&texts(&["a", "b"])), "another beside it");
        sight.ticked();
        for seen in [&["b"][..], &["a", "b"], &["a"]] {
            assert!(!sight.frame(&texts(seen)));
        }
    }

    #[test]
    fn what_passes_by_itself_is_asked_again_and_what_is_wrong_is_not() {
        let mut sight = Sight::default();
        assert!(sight.frame(&texts(&["a"])));
        sight.refused(true);
        assert!(sight.frame(&texts(&["a"])));
        sight.refused(false);
        assert!(!sight.frame(&texts(&["a"])));
        sight.forget();
        assert!(sight.frame(&texts(&["a"])));
    }
}
