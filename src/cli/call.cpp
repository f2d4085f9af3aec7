#include "cli/call.h"

#include <utility>

namespace discal::cli {

CLI::App& addVerb(CLI::App& parent, Call& call, const std::string& name, const std::string& what,
                  const std::string& example, On on, std::function<int()> run) {
    CLI::App& verb = *parent.add_subcommand(name, what);
    verb.footer("Example:\n  discalctl " + example);
    verb.add_flag("--json", call.isJson, "print JSON, one object a line");
    if (on == On::OwnJournal)
        verb.add_option("--journal", call.journal, "the journal's file; without it your own journal")
            ->type_name("FILE");
    if (on == On::NewJournal)
        verb.add_option("--journal", call.journal,
                        "a new file to write to; without it a temporary one, named on stderr")
            ->type_name("FILE");
    const std::string path = parent.get_parent() == nullptr ? name : parent.get_name() + " " + name;
    verb.callback([&call, path, run = std::move(run)] {
        call.verb = path;
        call.run = run;
    });
    return verb;
}

CLI::App& addGroup(CLI::App& parent, const std::string& name, const std::string& what) {
    CLI::App& group = *parent.add_subcommand(name, what);
    group.require_subcommand(1);
    return group;
}

} // namespace discal::cli
