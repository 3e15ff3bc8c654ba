//! Where in a file a parameter stands, by its section and key.

use super::document::Document;
use super::location::{Node, Place, look_up};
use wholestep::error::Error;

/// Parameters whose value follows from another if a file leaves them out, and the other.
const FOLLOW: &[(&str, &str)] = &[
    ("hand.jog", "motion.speed"),
    ("motion.deceleration", "motion.acceleration"),
    ("motion.approach", "motion.backlash"),
    ("datum.switch_at", "limits"),
    ("touch_off.toward", "touch_off.probe"),
];

impl Document {
    /// The error with file, line and key of the parameter it is about, if it is about one.
    pub(super) fn place(&self, error: Error) -> Error {
        let Some(parameter) = error.parameter() else { return error };
        let error = error.on_line(self.line_of(parameter)).at_key(parameter);
        match self.file() {
            Some(file) => error.in_file(file),
            None => error,
        }
    }

    /// The line of the parameter; of what it follows from, or of its section, if it is left out.
    pub(super) fn line_of(&self, parameter: &str) -> usize {
        let followed = FOLLOW.iter().find(|(left_out, _)| *left_out == parameter).map(|(_, from)| *from);
        let section = parameter.split_once('.').map(|(section, _)| section);
        [Some(parameter), followed, section]
            .into_iter()
            .flatten()
            .find_map(|path| self.find(path))
            .map_or(1, |place| place.line())
    }

    fn find(&self, path: &str) -> Option<Place<'_>> {
        let (section, key) = path.split_once('.').map_or((path, None), |(section, key)| (section, Some(key)));
        let (place, node) = look_up(&Place::root(self), self.table(), section)?;
        match (key, node) {
            (None, _) => Some(place),
            (Some(key), Node::Table(table)) => look_up(&place, table, key).map(|(place, _)| place),
            (Some(_), _) => None,
        }
    }
}
