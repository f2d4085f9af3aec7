#include "services/sample/script.h"

#include <array>

namespace discal::services::sample {

namespace {

using Shape = MemberForm::Shape;

constexpr bool kNeeded = true;
constexpr bool kMay = false;
constexpr std::string_view kSexes = "female male unknown";
constexpr std::string_view kOrigins = "wild reared";
constexpr std::string_view kStages = "egg larva pupa";
constexpr std::string_view kOnOff = "on off";

/// What can be said anew in a script: members that hold no id.
constexpr std::string_view kFields =
    "code sex origin at offset_min forewing_um wear wear_scale mated parasite_sample "
    "mark tag first next count stage effort_min people";

constexpr MemberForm kName[]{{"name", Shape::Text, kNeeded}};
constexpr MemberForm kInitials[]{{"initials", Shape::Text, kNeeded}};
constexpr MemberForm kEnrol[]{{"device", Shape::Phone, kNeeded},
                              {"role", Shape::Word, kNeeded, "office recorder visitor none"}};
constexpr MemberForm kVisitor[]{{"number", Shape::Count, kNeeded}};
constexpr MemberForm kSite[]{{"name", Shape::Text, kNeeded},
                             {"position", Shape::Position, kMay},
                             {"uncertainty_m", Shape::Count, kMay},
                             {"radius_m", Shape::Count, kMay}};
constexpr MemberForm kChooseSite[]{{"name", Shape::AnyText, kNeeded}};
constexpr MemberForm kLot[]{{"name", Shape::Text, kNeeded},
                            {"stage", Shape::Word, kNeeded, kStages},
                            {"count", Shape::Number, kNeeded}};
constexpr MemberForm kSheet[]{{"first", Shape::Text, kNeeded},
                              {"count", Shape::Count, kMay},
                              {"scheme", Shape::Text, kMay},
                              {"per_row", Shape::Count, kMay}};
constexpr MemberForm kHand[]{
    {"first", Shape::Text, kNeeded}, {"count", Shape::Count, kMay}, {"to", Shape::OtherPhone, kNeeded}};
constexpr MemberForm kRun[]{{"first", Shape::Text, kNeeded}, {"count", Shape::Count, kMay}};
constexpr MemberForm kGiveAway[]{
    {"first", Shape::Text, kNeeded}, {"count", Shape::Count, kMay}, {"to", Shape::LongText, kMay}};
constexpr MemberForm kNote[]{{"code", Shape::Text, kMay},
                             {"sex", Shape::Word, kMay, kSexes},
                             {"origin", Shape::Word, kMay, kOrigins},
                             {"tagger", Shape::Tagger, kMay},
                             {"lot", Shape::Text, kMay},
                             {"forewing_mm", Shape::Decimal, kMay},
                             {"wear", Shape::Number, kMay},
                             {"wear_scale", Shape::Word, kMay, "1-5 0-4"},
                             {"mated", Shape::Claim, kMay},
                             {"sample", Shape::Text, kMay},
                             {"text", Shape::LongText, kMay}};
constexpr MemberForm kHold[]{{"butterfly", Shape::Butterfly, kMay}, {"cage", Shape::Text, kMay}};
constexpr MemberForm kRelease[]{{"butterfly", Shape::Butterfly, kMay}};
constexpr MemberForm kCage[]{{"name", Shape::Text, kMay}, {"habit", Shape::Word, kMay, "let-go cage"}};
constexpr MemberForm kReleaseCage[]{{"cage", Shape::Text, kMay}, {"except", Shape::Butterflies, kMay}};
constexpr MemberForm kExcept[]{{"butterfly", Shape::Butterfly, kNeeded},
                               {"how", Shape::Word, kNeeded, "stayed died"}};
constexpr MemberForm kTagFate[]{{"butterfly", Shape::Butterfly, kMay}, {"tag", Shape::Word, kNeeded, kOnOff}};
constexpr MemberForm kUntagged[]{{"butterfly", Shape::Butterfly, kMay},
                                 {"why", Shape::Word, kNeeded, "hurt worn"},
                                 {"sex", Shape::Word, kMay, kSexes},
                                 {"origin", Shape::Word, kMay, kOrigins}};
constexpr MemberForm kSpoiled[]{
    {"butterfly", Shape::Butterfly, kMay}, {"next", Shape::Text, kMay}, {"code", Shape::Text, kMay}};
constexpr MemberForm kRetagged[]{{"butterfly", Shape::Butterfly, kMay}, {"next", Shape::Text, kMay}};
constexpr MemberForm kCompared[]{{"offered", Shape::Text, kNeeded},
                                 {"says", Shape::Text, kNeeded},
                                 {"butterflies", Shape::Butterflies, kNeeded}};
constexpr MemberForm kRecaptured[]{{"code", Shape::Text, kMay},
                                   {"mark", Shape::Word, kMay, "readable worn unreadable gone"},
                                   {"sex", Shape::Word, kMay, kSexes},
                                   {"origin", Shape::Word, kMay, kOrigins},
                                   {"forewing_mm", Shape::Decimal, kMay},
                                   {"wear", Shape::Number, kMay},
                                   {"wear_scale", Shape::Word, kMay, "1-5 0-4"},
                                   {"mated", Shape::Claim, kMay},
                                   {"sample", Shape::Text, kMay},
                                   {"text", Shape::LongText, kMay}};
constexpr MemberForm kMeasured[]{
    {"butterfly", Shape::Butterfly, kMay}, {"forewing_mm", Shape::Decimal, kMay},
    {"wear", Shape::Number, kMay},         {"wear_scale", Shape::Word, kMay, "1-5 0-4"},
    {"mated", Shape::Claim, kMay},         {"sample", Shape::Text, kMay},
    {"text", Shape::LongText, kMay}};
constexpr MemberForm kWeather[]{{"temp_c", Shape::Decimal, kNeeded},
                                {"wind_m_s", Shape::Decimal, kMay},
                                {"cloud_percent", Shape::Number, kMay},
                                {"rain", Shape::Claim, kMay}};
constexpr MemberForm kClose[]{
    {"minutes", Shape::Number, kMay}, {"people", Shape::Count, kMay}, {"text", Shape::LongText, kMay}};
constexpr MemberForm kCorrect[]{{"butterfly", Shape::Butterfly, kMay},
                                {"line", Shape::Label, kMay},
                                {"field", Shape::Word, kNeeded, kFields},
                                {"value", Shape::Text, kNeeded},
                                {"why", Shape::AnyText, kMay}};
constexpr MemberForm kUndo[]{{"why", Shape::AnyText, kMay}};
constexpr MemberForm kWithdraw[]{{"what", Shape::Label, kNeeded}, {"why", Shape::AnyText, kMay}};
constexpr MemberForm kErase[]{{"initials", Shape::Text, kNeeded}, {"why", Shape::AnyText, kMay}};
constexpr MemberForm kSettle[]{
    {"doubt", Shape::Text, kNeeded}, {"choice", Shape::Text, kNeeded}, {"why", Shape::AnyText, kMay}};
constexpr MemberForm kClock[]{{"skew_s", Shape::Skew, kNeeded}};
constexpr MemberForm kZone[]{{"offset", Shape::Offset, kNeeded}, {"zone", Shape::Zone, kNeeded}};
constexpr MemberForm kParcel[]{{"to", Shape::OtherPhone, kNeeded}};
constexpr MemberForm kRead[]{{"frames", Shape::Frames, kNeeded}, {"for", Shape::Word, kNeeded, "new recapture label"}};

constexpr bool kOfOne = true;
constexpr bool kOther = false;

constexpr std::array<ActForm, 44> kForms{{
    {Do::Name, "name", kName, kOther},
    {Do::Found, "found", kName, kOther},
    {Do::Enrol, "enrol", kEnrol, kOther},
    {Do::Person, "person", kInitials, kOther},
    {Do::Recorder, "recorder", kInitials, kOther},
    {Do::Visitor, "visitor", kVisitor, kOther},
    {Do::Site, "site", kSite, kOther},
    {Do::ChooseSite, "choose-site", kChooseSite, kOther},
    {Do::Lot, "lot", kLot, kOther},
    {Do::CountLot, "count-lot", kLot, kOther},
    {Do::Sheet, "sheet", kSheet, kOther},
    {Do::Hand, "hand", kHand, kOther},
    {Do::Take, "take", kRun, kOther},
    {Do::Return, "return", kRun, kOther},
    {Do::Paper, "paper", kRun, kOther},
    {Do::Missing, "missing", kRun, kOther},
    {Do::GiveAway, "give-away", kGiveAway, kOther},
    {Do::Note, "note", kNote, kOfOne},
    {Do::Hold, "hold", kHold, kOfOne},
    {Do::Release, "release", kRelease, kOfOne},
    {Do::Cage, "cage", kCage, kOther},
    {Do::ReleaseCage, "release-cage", kReleaseCage, kOther},
    {Do::ExceptAfterwards, "except-afterwards", kExcept, kOfOne},
    {Do::Escaped, "escaped", kTagFate, kOfOne},
    {Do::Died, "died", kTagFate, kOfOne},
    {Do::Untagged, "untagged", kUntagged, kOfOne},
    {Do::Spoiled, "spoiled", kSpoiled, kOfOne},
    {Do::Retagged, "retagged", kRetagged, kOfOne},
    {Do::Compared, "compared", kCompared, kOther},
    {Do::Recaptured, "recaptured", kRecaptured, kOfOne},
    {Do::Measured, "measured", kMeasured, kOfOne},
    {Do::Weather, "weather", kWeather, kOther},
    {Do::Close, "close", kClose, kOther},
    {Do::Correct, "correct", kCorrect, kOfOne},
    {Do::Undo, "undo", kUndo, kOther},
    {Do::Withdraw, "withdraw", kWithdraw, kOther},
    {Do::ErasePerson, "erase-person", kErase, kOther},
    {Do::Settle, "settle", kSettle, kOther},
    {Do::Clock, "clock", kClock, kOther},
    {Do::Reboot, "reboot", {}, kOther},
    {Do::Zone, "zone", kZone, kOther},
    {Do::Parcel, "parcel", kParcel, kOther},
    {Do::Read, "read", kRead, kOther},
    {Do::Idle, "idle", {}, kOther},
}};

constexpr bool areInOrder() {
    for (std::size_t i = 0; i < kForms.size(); ++i)
        if (static_cast<std::size_t>(kForms[i].what) != i)
            return false;
    return static_cast<std::size_t>(Do::Idle) + 1 == kForms.size();
}
static_assert(areInOrder());

} // namespace

std::span<const ActForm> actForms() {
    return kForms;
}

std::string_view wordOf(Do what) {
    return kForms[static_cast<std::size_t>(what)].word;
}

std::string_view wordOf(Verdict verdict) {
    switch (verdict) {
    case Verdict::Accepted:
        return "accepted";
    case Verdict::Unlisted:
        return "unlisted";
    case Verdict::Refused:
        break;
    }
    return "refused";
}

std::string_view wordOf(Refusal why) {
    switch (why) {
    case Refusal::NoTag:
        return "no-tag";
    case Refusal::TooFar:
        return "too-far";
    case Refusal::Blurred:
        return "blurred";
    case Refusal::Glare:
        return "glare";
    case Refusal::Covered:
        return "covered";
    case Refusal::Unsure:
        break;
    }
    return "unsure";
}

} // namespace discal::services::sample
