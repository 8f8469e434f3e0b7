//! Nothing lost, nothing let in: damaged books, many processes at once, hostile input, full disks. Unix only, because it
//! needs rights of files, signals and limits of the shell.
#![cfg(unix)]

mod copies;
mod crowd;
mod damage;
mod disk;
mod ended;
mod hostile_form;
mod hostile_list;
mod hostile_note;
mod versions;
mod workbook;
mod workshop;
