//! Makes a workbook of its parts, so that changes reach the sheet and not only the packing around it.

/// The names of the parts in the order in which they stand, and what stands for a part that is missing.
const PARTS: [(&str, &str); 4] = [
    ("xl/worksheets/sheet1.xml", ""),
    ("xl/sharedStrings.xml", ""),
    ("xl/styles.xml", ""),
    (
        "xl/workbook.xml",
        r#"<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets><sheet name="s" sheetId="1" r:id="r1"/></sheets></workbook>"#,
    ),
];
const RELATIONS: &str = r#"<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="r1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/></Relationships>"#;
/// Stands between two parts.
const MARK: &[u8] = b"\n%%\n";

/// Packs the parts, which are parted by a line `%%`, as an .xlsx without compression (ECMA-376 part 2, APPNOTE 6.3).
pub(super) fn of_parts(data: &[u8]) -> Vec<u8> {
    let mut rest = Some(data);
    let mut archive = Archive::default();
    archive.add("xl/_rels/workbook.xml.rels", RELATIONS.as_bytes());
    for (name, otherwise) in PARTS {
        let part = rest.map(|bytes| {
            let at = bytes.windows(MARK.len()).position(|four| four == MARK);
            rest = at.map(|at| &bytes[at + MARK.len()..]);
            &bytes[..at.unwrap_or(bytes.len())]
        });
        match part {
            Some(part) => archive.add(name, part),
            None if !otherwise.is_empty() => archive.add(name, otherwise.as_bytes()),
            None => {}
        }
    }
    archive.finish()
}

#[derive(Default)]
struct Archive {
    bytes: Vec<u8>,
    directory: Vec<u8>,
    count: u16,
}

impl Archive {
    fn add(&mut self, name: &str, body: &[u8]) {
        let offset = length(&self.bytes);
        let mut fields = Vec::new();
        // Version 2.0, no flags, stored, no moment.
        fields.extend([20, 0, 0, 0, 0, 0, 0, 0, 0, 0]);
        fields.extend(crc32(body).to_le_bytes());
        fields.extend(length(body).to_le_bytes());
        fields.extend(length(body).to_le_bytes());
        fields.extend(u16::try_from(name.len()).unwrap_or(0).to_le_bytes());
        fields.extend([0, 0]);
        self.bytes.extend(b"PK\x03\x04");
        self.bytes.extend(&fields);
        self.bytes.extend(name.as_bytes());
        self.bytes.extend(body);
        self.directory.extend(b"PK\x01\x02\x14\x00");
        self.directory.extend(&fields);
        // No comment, first disk, no attributes.
        self.directory.extend([0; 10]);
        self.directory.extend(offset.to_le_bytes());
        self.directory.extend(name.as_bytes());
        self.count += 1;
    }

    fn finish(mut self) -> Vec<u8> {
        let (offset, size) = (length(&self.bytes), length(&self.directory));
        self.bytes.append(&mut self.directory);
        self.bytes.extend(b"PK\x05\x06\0\0\0\0");
        self.bytes.extend(self.count.to_le_bytes());
        self.bytes.extend(self.count.to_le_bytes());
        self.bytes.extend(size.to_le_bytes());
        self.bytes.extend(offset.to_le_bytes());
        self.bytes.extend([0, 0]);
        self.bytes
    }
}

fn length(bytes: &[u8]) -> u32 {
    u32::try_from(bytes.len()).unwrap_or(u32::MAX)
}

/// The check sum of ISO 3309, bit by bit.
fn crc32(bytes: &[u8]) -> u32 {
    let mut sum = u32::MAX;
    for byte in bytes {
        sum ^= u32::from(*byte);
        for _ in 0..8 {
            sum = (sum >> 1) ^ (0xedb8_8320 & 0_u32.wrapping_sub(sum & 1));
        }
    }
    !sum
}
