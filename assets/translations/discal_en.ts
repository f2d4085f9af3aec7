<?xml version="1.0" encoding="utf-8"?>
<!DOCTYPE TS>
<TS version="2.1" language="en" sourcelanguage="en">
<context>
    <name>ExceptPage</name>
    <message numerus="yes">
        <source>%n go</source>
        <comment>butterflies from the cage</comment>
        <translation>
            <numerusform>%n goes</numerusform>
            <numerusform>%n go</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>LinePage</name>
    <message numerus="yes">
        <source>%n butterflies were written with this tap: they go together.</source>
        <translation>
            <numerusform>%n butterfly was written with this tap.</numerusform>
            <numerusform>%n butterflies were written with this tap: they go together.</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>SharePage</name>
    <message numerus="yes">
        <source>CSV, %n in it</source>
        <comment>butterflies in the table</comment>
        <translation>
            <numerusform>CSV, %n in it</numerusform>
            <numerusform>CSV, %n in it</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>SheetStrip</name>
    <message numerus="yes">
        <source>%n free tag(s) on this sheet</source>
        <translation>
            <numerusform>%n free tag on this sheet</numerusform>
            <numerusform>%n free tags on this sheet</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>TagPage</name>
    <message numerus="yes">
        <source>%n here</source>
        <translation>
            <numerusform>%n here</numerusform>
            <numerusform>%n here</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>discal::viewmodels::BoundariesModel</name>
    <message numerus="yes">
        <source>%n area(s)</source>
        <comment>boundaries in a file</comment>
        <translation>
            <numerusform>%n area</numerusform>
            <numerusform>%n areas</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n file(s)</source>
        <comment>boundaries</comment>
        <translation>
            <numerusform>%n file</numerusform>
            <numerusform>%n files</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n area(s) taken in.</source>
        <comment>boundaries</comment>
        <translation>
            <numerusform>%n area taken in.</numerusform>
            <numerusform>%n areas taken in.</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>discal::viewmodels::ExceptPageModel</name>
    <message numerus="yes">
        <source>%n stayed</source>
        <translation>
            <numerusform>%n stayed</numerusform>
            <numerusform>%n stayed</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n stay</source>
        <translation>
            <numerusform>%n stays</numerusform>
            <numerusform>%n stay</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n died</source>
        <translation>
            <numerusform>%n died</numerusform>
            <numerusform>%n died</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>discal::viewmodels::HandRunModel</name>
    <message numerus="yes">
        <source>It holds this phone’s last %n lines. A phone that lacks earlier ones needs a parcel file first.</source>
        <translation>
            <numerusform>It holds this phone’s last line. A phone that lacks earlier ones needs a parcel file first.</numerusform>
            <numerusform>It holds this phone’s last %n lines. A phone that lacks earlier ones needs a parcel file first.</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>discal::viewmodels::HeldPageModel</name>
    <message numerus="yes">
        <source>%n cages</source>
        <translation>
            <numerusform>%n cage</numerusform>
            <numerusform>%n cages</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n tagged</source>
        <translation>
            <numerusform>%n tagged</numerusform>
            <numerusform>%n tagged</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n in the cage for more than %1 hours. Feed, or let go: common practice for any that is held.</source>
        <translation>
            <numerusform>%n in the cage for more than %1 hours. Feed, or let go: common practice for any that is held.</numerusform>
            <numerusform>%n in the cage for more than %1 hours. Feed, or let go: common practice for any that is held.</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n let go from the cage at %1</source>
        <translation>
            <numerusform>%n let go from the cage at %1</numerusform>
            <numerusform>%n let go from the cage at %1</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n on the way.</source>
        <comment>butterflies let go</comment>
        <translation>
            <numerusform>%n on the way.</numerusform>
            <numerusform>%n on the way.</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n butterflies: letting them go is not saved.</source>
        <translation>
            <numerusform>%n butterfly: letting it go is not saved.</numerusform>
            <numerusform>%n butterflies: letting them go is not saved.</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>discal::viewmodels::MapPageModel</name>
    <message numerus="yes">
        <source>%n butterfl(ies)</source>
        <translation>
            <numerusform>%n butterfly</numerusform>
            <numerusform>%n butterflies</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%1, %n without a position</source>
        <comment>%1: 13 butterflies</comment>
        <translation>
            <numerusform>%1, %n without a position</numerusform>
            <numerusform>%1, %n without a position</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>discal::viewmodels::SchemesModel</name>
    <message numerus="yes">
        <source>%n letter(s)</source>
        <comment>of a code</comment>
        <translation>
            <numerusform>%n letter</numerusform>
            <numerusform>%n letters</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n digit(s)</source>
        <comment>of a code</comment>
        <translation>
            <numerusform>%n digit</numerusform>
            <numerusform>%n digits</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n sheet(s)</source>
        <translation>
            <numerusform>%n sheet</numerusform>
            <numerusform>%n sheets</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n way(s)</source>
        <comment>to build codes</comment>
        <translation>
            <numerusform>%n way</numerusform>
            <numerusform>%n ways</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>discal::viewmodels::SessionPageModel</name>
    <message numerus="yes">
        <source>%n butterfly(ies)</source>
        <translation>
            <numerusform>%n butterfly</numerusform>
            <numerusform>%n butterflies</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n minute(s)</source>
        <translation>
            <numerusform>%n minute</numerusform>
            <numerusform>%n minutes</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n person(s)</source>
        <translation>
            <numerusform>%n person</numerusform>
            <numerusform>%n people</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>discal::viewmodels::SheetPageModel</name>
    <message numerus="yes">
        <source>%n free</source>
        <comment>tags of a sheet</comment>
        <translation>
            <numerusform>%n free</numerusform>
            <numerusform>%n free</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n tag(s) end so.</source>
        <translation>
            <numerusform>%n tag ends so.</numerusform>
            <numerusform>%n tags end so.</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>discal::viewmodels::SheetsModel</name>
    <message numerus="yes">
        <source>This phone believes it holds %1 and %n more. Are those sheets here?</source>
        <translation>
            <numerusform>This phone believes it holds %1 and %n more. Are those sheets here?</numerusform>
            <numerusform>This phone believes it holds %1 and %n more. Are those sheets here?</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n sheet(s)</source>
        <translation>
            <numerusform>%n sheet</numerusform>
            <numerusform>%n sheets</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n free</source>
        <comment>tags of a sheet</comment>
        <translation>
            <numerusform>%n free</numerusform>
            <numerusform>%n free</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n used</source>
        <comment>tags of a sheet</comment>
        <translation>
            <numerusform>%n used</numerusform>
            <numerusform>%n used</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n on another phone</source>
        <comment>tags of a sheet</comment>
        <translation>
            <numerusform>%n on another phone</numerusform>
            <numerusform>%n on another phone</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n tag(s)</source>
        <translation>
            <numerusform>%n tag</numerusform>
            <numerusform>%n tags</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n not offered</source>
        <comment>tags of a sheet</comment>
        <translation>
            <numerusform>%n not offered</numerusform>
            <numerusform>%n not offered</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>discal::viewmodels::SitesModel</name>
    <message numerus="yes">
        <source>given at %1 of %n site(s)</source>
        <translation>
            <numerusform>given at %1 of %n site</numerusform>
            <numerusform>given at %1 of %n sites</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>discal::viewmodels::TagPageModel</name>
    <message numerus="yes">
        <source>%n butterfly(ies) since the last look may carry another code. They are marked to check.</source>
        <translation>
            <numerusform>%n butterfly since the last look may carry another code. It is marked to check.</numerusform>
            <numerusform>%n butterflies since the last look may carry another code. They are marked to check.</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%1 is on its way. %n this season.</source>
        <translation>
            <numerusform>%1 is on its way. %n this season.</numerusform>
            <numerusform>%1 is on its way. %n this season.</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>no position for %n min: by the site</source>
        <translation>
            <numerusform>no position for %n min: by the site</numerusform>
            <numerusform>no position for %n min: by the site</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>no position for %n min: choose a site</source>
        <translation>
            <numerusform>no position for %n min: choose a site</numerusform>
            <numerusform>no position for %n min: choose a site</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>That was said %n hour(s) ago.</source>
        <translation>
            <numerusform>That was said %n hour ago.</numerusform>
            <numerusform>That was said %n hours ago.</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>discal::viewmodels::TodayPageModel</name>
    <message numerus="yes">
        <source>%n male</source>
        <translation>
            <numerusform>%n male</numerusform>
            <numerusform>%n male</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n female</source>
        <translation>
            <numerusform>%n female</numerusform>
            <numerusform>%n female</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n can’t tell</source>
        <comment>sex</comment>
        <translation>
            <numerusform>%n can’t tell</numerusform>
            <numerusform>%n can’t tell</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n wild</source>
        <translation>
            <numerusform>%n wild</numerusform>
            <numerusform>%n wild</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n reared</source>
        <translation>
            <numerusform>%n reared</numerusform>
            <numerusform>%n reared</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n origin not said</source>
        <translation>
            <numerusform>%n origin not said</numerusform>
            <numerusform>%n origin not said</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>discal::viewmodels::TroublesModel</name>
    <message numerus="yes">
        <source>%n min</source>
        <translation>
            <numerusform>%n min</numerusform>
            <numerusform>%n min</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n h</source>
        <translation>
            <numerusform>%n h</numerusform>
            <numerusform>%n h</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n days</source>
        <translation>
            <numerusform>%n day</numerusform>
            <numerusform>%n days</numerusform>
        </translation>
    </message>
</context>
</TS>
