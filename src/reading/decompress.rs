//! gzip, recognised by its first bytes.

use std::borrow::Cow;
use std::io::Read;

use flate2::read::MultiGzDecoder;

use super::error::ReadProblem;
use super::note::Notes;

/// Most bytes a packed recording may unpack to.
pub(crate) const MAX_UNPACKED_BYTES: u64 = 256 << 20;

/// The bytes themselves, or what they unpack to.
///
/// A packed file that breaks off gives what could be unpacked, with a note.
pub(crate) fn unpack<'a>(bytes: &'a [u8], notes: &mut Notes) -> Result<Cow<'a, [u8]>, ReadProblem> {
    if !bytes.starts_with(&[0x1F, 0x8B]) {
        return Ok(Cow::Borrowed(bytes));
    }
    let mut unpacked = Vec::new();
    let outcome = MultiGzDecoder::new(bytes)
        .take(MAX_UNPACKED_BYTES + 1)
        .read_to_end(&mut unpacked);
    if unpacked.len() as u64 > MAX_UNPACKED_BYTES {
        return Err(ReadProblem::UnpacksTooLarge {
            limit_mib: MAX_UNPACKED_BYTES >> 20,
        });
    }
    if outcome.is_err() {
        if unpacked.is_empty() {
            return Err(ReadProblem::CannotUnpack);
        }
        notes.remark(
            0,
            "the packed (gzip) file is damaged or cut short; what could be unpacked was read",
        );
    }
    Ok(Cow::Owned(unpacked))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Write;

    fn packed(bytes: &[u8]) -> Vec<u8> {
        let mut packer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::default());
        packer.write_all(bytes).unwrap();
        packer.finish().unwrap()
    }

    #[test]
    fn leaves_plain_bytes_alone_and_unpacks_packed_ones() {
        let mut notes = Notes::default();
        assert_eq!(unpack(b"AXXX", &mut notes).unwrap().as_ref(), b"AXXX");
        assert_eq!(
            unpack(&packed(b"AXXX"), &mut notes).unwrap().as_ref(),
            b"AXXX"
        );
        let two = [packed(b"AX"), packed(b"XX")].concat();
        assert_eq!(unpack(&two, &mut notes).unwrap().as_ref(), b"AXXX");
        assert!(notes.into_list().is_empty());
    }

    #[test]
    fn gives_what_a_cut_file_holds() {
        let body: Vec<u8> = (0..50_000_u32)
            .flat_map(|i| i.wrapping_mul(2_654_435_761).to_string().into_bytes())
            .collect();
        let mut cut = packed(&body);
        cut.truncate(cut.len() / 2);
        let mut notes = Notes::default();
        let got = unpack(&cut, &mut notes).unwrap();
        assert!(got.len() > 1000 && body.starts_with(&got));
        assert_eq!(notes.into_list().len(), 1);
        assert_eq!(
            unpack(&cut[..5], &mut Notes::default()).unwrap_err(),
            ReadProblem::CannotUnpack
        );
    }

    #[test]
    fn refuses_what_would_fill_the_memory() {
        let mut packer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
        let block = vec![0_u8; 1 << 20];
        for _ in 0..=(MAX_UNPACKED_BYTES >> 20) {
            packer.write_all(&block).unwrap();
        }
        let bomb = packer.finish().unwrap();
        let got = unpack(&bomb, &mut Notes::default()).unwrap_err();
        assert_eq!(got, ReadProblem::UnpacksTooLarge { limit_mib: 256 });
    }
}
