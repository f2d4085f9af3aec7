#include "cli/field_options.h"

#include "cli/typed.h"

namespace discal::cli {

void addWhoAndWhere(CLI::App& verb, WhoAndWhere& to, Where where) {
    verb.add_option("--by", to.by, "who writes and judges; carries over while the session is open")
        ->type_name("INITIALS");
    if (where == Where::NotAsked)
        return;
    verb.add_option("--site", to.site, "a known site; carries over while the session is open")
        ->type_name("NAME");
    verb.add_option("--at-position", to.position,
                    "a typed place in degrees and metres, such as --at-position=44.9541,-93.1022,15")
        ->type_name("LAT,LON,UNCERTAINTY_M");
}

Result<journal::Uuid> siteNamed(Workbench& bench, const std::string& name) {
    const auto site = bench.station.findSite(name);
    if (!site)
        return fail(site.error());
    if (!*site)
        return fail(Code::NotFound, "a site named " + name + " (discalctl station site NAME makes one)");
    return **site;
}

Result<void> apply(const WhoAndWhere& said, Workbench& bench) {
    if (!said.position.empty()) {
        const auto position = positionIn(said.position);
        if (!position)
            return fail(position.error());
        bench.session.setTypedPosition(*position);
    }
    if (!said.site.empty()) {
        const auto site = siteNamed(bench, said.site);
        if (!site)
            return fail(site.error());
        auto persisting = bench.session.persisting();
        persisting.site = site->text();
        if (auto carried = bench.session.carry(std::move(persisting)); !carried)
            return carried;
    }
    if (!said.by.empty()) {
        const auto person = bench.station.person(said.by);
        if (!person)
            return fail(person.error());
        bench.writer.setRecorder(person->id);
    }
    return {};
}

void addSexAndOrigin(CLI::App& verb, SexAndOrigin& to, Sex sex) {
    auto* option = verb.add_option("--sex", to.sex, "as judged in the hand")
                       ->check(CLI::IsMember({"female", "male", "unknown"}))
                       ->type_name("female|male|unknown");
    if (sex == Sex::Required)
        option->required();
    auto* reared =
        verb.add_flag("--reared", to.isReared, "from a cage or lot; carries over while the session is open");
    verb.add_flag("--wild", to.isWild, "netted; carries over while the session is open")->excludes(reared);
}

void addMeasures(CLI::App& verb, MeasuresTyped& to) {
    verb.add_option("--forewing", to.forewing, "length of the forewing, such as 51.5")->type_name("MM");
    auto* scale = verb.add_option("--wear-scale", to.wearScale, "which scale --wear is on")
                      ->check(CLI::IsMember({"1-5", "0-4"}))
                      ->type_name("1-5|0-4");
    auto* wear = verb.add_option("--wear", to.wear, "wear of the wings")->type_name("N");
    wear->needs(scale);
    scale->needs(wear);
    verb.add_option("--mated", to.mated)->check(CLI::IsMember({"yes", "no"}))->type_name("yes|no");
    verb.add_option("--parasite-sample", to.parasiteSample, "number of the tape sample")->type_name("NO");
    verb.add_option("--note", to.note, "free text; kept beside the lines and can be erased")
        ->type_name("TEXT");
}

Result<services::Measures> measuresOf(const MeasuresTyped& typed) {
    services::Measures out;
    if (!typed.forewing.empty()) {
        const auto um = decimalIn(typed.forewing, 3);
        if (!um)
            return fail(um.error());
        out.forewingUm = *um;
    }
    if (!typed.wearScale.empty()) {
        out.wear = typed.wear;
        out.wearScale = typed.wearScale;
    }
    if (!typed.mated.empty())
        out.mated = typed.mated == "yes";
    out.parasiteSample = typed.parasiteSample;
    out.note = typed.note;
    return out;
}

void addCode(CLI::App& verb, std::vector<std::string>& to, const std::string& what) {
    verb.add_option("CODE", to, what)->expected(0, 2)->type_name("");
}

CLI::Option& addRun(CLI::App& verb, std::vector<std::string>& to) {
    return *verb.add_option("RUN", to, "\"RKD 001..RKD 025\", or the first code and how many: RKD001 25")
                ->expected(1, 6)
                ->required()
                ->type_name("");
}

} // namespace discal::cli
