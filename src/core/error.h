#pragma once

#include <cstdint>
#include <string>

namespace discal {

/// What went wrong, as data. Core holds no prose: the view model maps a code to a translated sentence, the
/// command line to English (`cli/error_text.h`).
enum class Code : std::uint8_t {
    // Bytes from outside
    NotUtf8,         ///< bytes are not well-formed UTF-8
    LineTooShort,    ///< under 2 bytes
    LineTooLong,     ///< over 16,384 bytes
    LineFeedInLine,  ///< holds byte 0x0A
    NotJson,         ///< not one JSON object
    DuplicateKey,    ///< `detail` is the key
    NumberNotWhole,  ///< a fraction, or beyond 2^53; `detail` is the number's place where known
    MissingMember,   ///< `detail` names the member
    WrongType,       ///< `detail` names the member
    OutOfRange,      ///< `detail` names the value
    NotACode,        ///< `detail` is the legal form of a tag code
    AmbiguousCode,   ///< a look-alike glyph fits more than one code; `detail` lists the readings, space separated
    NotAPosition,
    NotATime,
    BadChecksum,
    Simulated,  ///< a receiver's simulator, never a position
    // Chain and signature
    BrokenChain,   ///< a hash does not follow; `number` is the seq
    BadSignature,
    WrongDevice,   ///< a public key that does not make the device id it claims
    Gap,           ///< lines are missing before the first one; `number` is the seq we hold
    Forked,        ///< another line stands at this place; `number` is the seq
    // Journal file
    NotAJournal,
    NewerFile,     ///< written by a later Discal; `number` is its schema version
    Busy,          ///< another program writes; `detail` says who
    ReadOnly,
    DiskFull,
    Io,            ///< `number` is the SQLite or errno code
    OutOfMemory,
    Corrupt,       ///< `detail` says where
    Exists,        ///< would overwrite; `detail` is the path
    NotFound,      ///< `detail` is what was looked for
    // What a person asked for
    NotAllowed,    ///< `detail` says what would have to be true first
    NothingToDo,
    BadInput,      ///< `detail` says what is expected
};

struct Error {
    Code code;
    std::string detail{};   ///< a path, a member's name, a legal form: see the code
    std::int64_t number{0};  ///< a seq, a version, an errno: see the code
};

} // namespace discal
