use std::path::PathBuf;
use serde_json::Value;
use super::change::{Change, Done};
use super::desk::{Desk, DeskError};
use super::view;

pub struct FileDesk { pub path: PathBuf }
impl FileDesk {
    fn bytes(&self) -> Result<Vec<u8>, DeskError> {
        std::fs::read(&self.path).map_err(|e| DeskError::File(format!("{}: {e}", self.path.display())))
    }
}
impl Desk for FileDesk {
    fn revision(&mut self) -> Result<String, DeskError> { Ok(view::revision(&self.bytes()?)) }
    fn view(&mut self) -> Result<Value, DeskError> {
        let b = self.bytes()?;
        let v: Value = serde_json::from_slice(&b).map_err(|e| DeskError::File(e.to_string()))?;
        Ok(view::view(&v, &self.path.file_name().unwrap_or_default().to_string_lossy(), &view::revision(&b), None))
    }
    fn change(&mut self, _: Change) -> Result<Done, DeskError> { Err(DeskError::Unfit("not yet".into())) }
}
