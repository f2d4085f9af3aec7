#pragma once

#include "core/journal/line.h"

#include <string>
#include <vector>

namespace discal::journal {

/// The things that a line touches, as keys. Read from the shape of a line and not from its kind, so that it works
/// for kinds of the future too. *The convention, never change:* ids of subjects stand in `about`; a tag code in
/// `code` or `next`; a run of codes in `first` and `count` of kinds that begin with "tag."; a device in `device`.
///
///   36 characters      a Uuid: butterfly, sheet, session, person, site, lot ...
///   "code RKD 014"     a tag, in the canonical text of tag::Code
///   "device eh7d..."   a device: its role and name
///   "station"          the station itself
///   "roles"            who is an office, a recorder, a visitor
///   "erasures"         what blobs are erased for good
///   "doubt RULE KEY"   a doubt, as settled by an office
///   "line UUID"        what corrects that line
///   "act UUID"         what withdraws that act
using SubjectKey = std::string;

[[nodiscard]] SubjectKey codeSubject(std::string_view canonicalCode);
[[nodiscard]] SubjectKey deviceSubject(const DeviceId& device);
[[nodiscard]] SubjectKey doubtSubject(std::string_view doubtKey);
[[nodiscard]] SubjectKey correctionsOf(const Uuid& line);
[[nodiscard]] SubjectKey withdrawalsOf(const Uuid& act);
inline constexpr std::string_view kStationSubject = "station";
inline constexpr std::string_view kRolesSubject = "roles";
inline constexpr std::string_view kErasuresSubject = "erasures";

/// Most codes that one tag.* line spreads over; further ones of a longer run are not touched (such a line is refused
/// by our own commands, and reads as odd when it comes from elsewhere).
inline constexpr std::int64_t kLongestTagRun = 1000;

/// Subjects of the line as `body` says (the line's own, or with corrections laid over it). No duplicates; sorted.
[[nodiscard]] std::vector<SubjectKey> subjectsOf(const Line& line, const DeviceId& writer,
                                                 const boost::json::object& body);

} // namespace discal::journal
