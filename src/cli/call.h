#pragma once

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <functional>
#include <string>

namespace discal::cli {

inline constexpr int kDone = 0;
inline constexpr int kRefused = 1; ///< with a reason on stderr; also when some of it was done
inline constexpr int kUsage = 2;

/// One call of the program: what was typed that every verb has, and what the chosen verb does.
struct Call {
    std::string verb; ///< "stock add"; told to whoever finds the journal in use
    bool isJson{false};
    std::string journal{}; ///< --journal; empty: the user's own
    std::function<int()> run;
};

/// Which journal a verb works on; decides what --journal says in its help.
enum class On { OwnJournal, NewJournal, NoJournal };

/// Adds a verb with --json, --journal and an example to its help. `run` is called after everything was parsed
/// and returns the exit code.
CLI::App& addVerb(CLI::App& parent, Call& call, const std::string& name, const std::string& what,
                  const std::string& example, On on, std::function<int()> run);

/// A word that other verbs follow, such as "stock".
CLI::App& addGroup(CLI::App& parent, const std::string& name, const std::string& what);

} // namespace discal::cli
