#include "cli/error_text.h"

#include <string_view>

namespace discal::cli {

namespace {

std::string said(std::string_view before, const std::string& detail, std::string_view after) {
    std::string out(before);
    if (!detail.empty())
        out += " (" + detail + ")";
    out += after;
    return out;
}

/// "RKD014 RKO014" -> "RKD014, RKO014"
std::string withCommas(const std::string& readings) {
    std::string out;
    for (const char c : readings) {
        if (c == ' ')
            out += ',';
        out += c;
    }
    return out;
}

std::string notFound(const std::string& what) {
    if (what == "an open butterfly")
        return "No butterfly is in hand on this device; say which one by its code.";
    if (what == "a free tag on this device")
        return "This device holds no free tag; add a sheet (discalctl stock add FIRST COUNT), or give the "
               "code that is "
               "on the tag.";
    if (what.empty())
        return "What was asked for is not in this journal; nothing was changed.";
    return "Not found: " + what + ". Nothing was changed.";
}

std::string outOfRange(const Error& error) {
    const std::string& what = error.detail;
    if (what == "count")
        return "That is too many at once, or none; a run holds 1 to 10,000 tags. Nothing was saved.";
    if (what == "first" || what == "last")
        return "That run of codes does not fit: the last code comes before the first, or the codes end. "
               "Nothing was "
               "saved.";
    if (what == "blob")
        return "A text or picture kept beside the lines holds at most 256 KiB; this one is larger. Nothing "
               "was saved.";
    if (what == "from")
        return "Lines are counted from 1; nothing was done.";
    if (what == "unpacked" || what == "window" || what == "parcel")
        return "One parcel holds at most 64 MiB, and this is more; begin it later (--from SEQ). Nothing was "
               "changed.";
    return said("A value is out of its range", what, "; nothing was saved.");
}

} // namespace

std::string textOf(const Error& error) {
    const std::string& detail = error.detail;
    const std::string number = std::to_string(error.number);
    switch (error.code) {
    case Code::NotUtf8:
        return said("The text is not well-formed UTF-8", detail, "; nothing was saved from it.");
    case Code::LineTooShort:
        return "A line of a journal has at least 2 bytes and this one has fewer; nothing was saved from it.";
    case Code::LineTooLong:
        return "A line of a journal has at most 16,384 bytes and this one would have more; nothing was "
               "saved. Shorten "
               "the text.";
    case Code::LineFeedInLine:
        return "A line of a journal holds no line end and this one does; nothing was saved from it.";
    case Code::NotJson:
        return said("The text is not one JSON object", detail, "; nothing was saved from it.");
    case Code::DuplicateKey:
        return said("A name stands twice in one JSON object", detail, "; nothing was saved from it.");
    case Code::NumberNotWhole:
        return said("A number is not whole, or too large", detail, "; nothing was saved from it.");
    case Code::MissingMember:
        return said("Something is missing in a line", detail, "; nothing was saved from it.");
    case Code::WrongType:
        return said("A value in a line is of another kind than expected", detail,
                    "; nothing was saved from it.");
    case Code::OutOfRange:
        return outOfRange(error);
    case Code::NotACode:
        return detail.empty()
                   ? "That is not a tag code; nothing was saved. Give it as it is printed, such as RKD 014."
                   : "That is not a tag code; nothing was saved. The form is " + detail + ".";
    case Code::AmbiguousCode:
        return "That may be one of these: " + withCommas(detail) +
               ". Nothing was saved; look at the tag again and give the code exactly as it is printed.";
    case Code::NotAPosition:
        return "That is not a place on Earth with an uncertainty; nothing was saved. Give it as "
               "LATITUDE,LONGITUDE,UNCERTAINTY in degrees and metres, such as 44.9541,-93.1022,15.";
    case Code::NotATime:
        return said("That is not a time", detail, "; nothing was saved. Give it as 2026-09-05T14:03:20Z.");
    case Code::BadChecksum:
        return said("A checksum does not agree", detail, "; nothing was taken from it.");
    case Code::Simulated:
        return "The receiver says that its position is simulated; it was not taken as a place.";
    case Code::BrokenChain:
        return "The chain of lines does not hold together" +
               (detail.empty() ? std::string() : " (" + detail + ")") + " at line " + number +
               "; nothing was taken from it. Ask for the parcel again, or save what is whole with discalctl "
               "journal "
               "salvage OUT.";
    case Code::BadSignature:
        return said("The signature does not belong to these lines", detail,
                    "; nothing was taken from them. Ask for the parcel again.");
    case Code::WrongDevice:
        return said("The lines name another device than the key that came with them", detail,
                    "; nothing was taken from them.");
    case Code::Gap:
        return "Lines are missing before this parcel: this journal holds that device's lines up to " +
               number + ". Nothing was taken from it; ask for a parcel from line " +
               std::to_string(error.number + 1) + " on.";
    case Code::Forked:
        return "Another line stands at place " + number + " of this chain; both are kept.";
    case Code::NotAJournal:
        return said("That file is no journal of Discal", detail, "; it was not touched.");
    case Code::NewerFile:
        if (detail == "the gazetteer" || detail == "the label")
            return "A later Discal made " + detail + " (its form " + number +
                   "); nothing was taken from it. Use the newer program.";
        return "This journal was written by a later Discal (its form " + number +
               "); it was not touched. Use the newer program.";
    case Code::Busy:
        if (error.number != 0 || detail.empty())
            return "Another program is using this journal at this moment; nothing was changed. Try again.";
        return "This journal is being written by " + detail +
               "; nothing was changed. Reading works meanwhile; write again when that program has ended.";
    case Code::ReadOnly:
        return said("That can't be written from here", detail, "; nothing was changed.");
    case Code::DiskFull:
        return "The disk is full and nothing of this was saved; all earlier lines are safe. Make room and "
               "try again.";
    case Code::Io:
        return said("Reading or writing failed", detail.empty() ? "error " + number : detail,
                    "; what was saved before is safe. Look at the disk or card and try again.");
    case Code::OutOfMemory:
        return "There was not enough memory and nothing of this was saved; all earlier lines are safe. Try "
               "again.";
    case Code::Corrupt:
        return said("Something is damaged", detail,
                    "; nothing was changed. For a journal, discalctl journal salvage OUT saves what is "
                    "whole; a parcel "
                    "can be asked for again.");
    case Code::Exists:
        return "There is something by that name already (" + detail +
               "); it was not touched. Give the name of a new file.";
    case Code::NotFound:
        return notFound(detail);
    case Code::NotAllowed:
        return "Not done: " + (detail.empty() ? std::string("this device may not do that") : detail) +
               ". Nothing was saved.";
    case Code::NothingToDo:
        return "Nothing to do" + (detail.empty() ? std::string() : ": " + detail) + ". Nothing was saved.";
    case Code::BadInput:
        return "Not understood" + (detail.empty() ? std::string() : "; expected " + detail) +
               ". Nothing was saved.";
    }
    return "Something went wrong that has no name yet; what was saved before is safe.";
}

} // namespace discal::cli
