#pragma once

// Runs the real discalctl as people and scripts do, and kills it.

#include "reference.h"

#include <algorithm>
#include <boost/json.hpp>
#include <cerrno>
#include <csignal>
#include <fcntl.h>
#include <filesystem>
#include <spawn.h>
#include <stdexcept>
#include <string>
#include <sys/wait.h>
#include <unistd.h>
#include <utility>
#include <vector>

extern char** environ;

namespace discal::tests {

struct Ran {
    int exit{-1}; ///< the exit code; 128 and the signal when it was killed
    std::string out;
    std::string err;
};

/// discalctl on its way. Its stdout and stderr go to files, so that nothing waits for us to read.
class Program {
public:
    Program(const std::filesystem::path& folder, const std::vector<std::string>& words,
            const std::vector<std::string>& environment = {})
        : m_out(fresh(folder, "out")), m_err(fresh(folder, "err")) {
        std::vector<std::string> all{DISCALCTL_PATH};
        all.insert(all.end(), words.begin(), words.end());
        std::vector<char*> argv;
        for (std::string& word : all)
            argv.push_back(word.data());
        argv.push_back(nullptr);
        std::vector<std::string> variables = environment;
        std::vector<char*> env;
        for (std::string& variable : variables)
            env.push_back(variable.data());
        for (char** inherited = environ; *inherited != nullptr; ++inherited)
            env.push_back(*inherited);
        env.push_back(nullptr);
        posix_spawn_file_actions_t files;
        posix_spawn_file_actions_init(&files);
        posix_spawn_file_actions_addopen(&files, 0, "/dev/null", O_RDONLY, 0);
        posix_spawn_file_actions_addopen(&files, 1, m_out.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
        posix_spawn_file_actions_addopen(&files, 2, m_err.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
        const int failed = ::posix_spawn(&m_pid, DISCALCTL_PATH, &files, nullptr, argv.data(), env.data());
        posix_spawn_file_actions_destroy(&files);
        if (failed != 0)
            throw std::runtime_error("discalctl can't be started: " + std::string(DISCALCTL_PATH));
    }
    ~Program() {
        if (m_pid > 0) {
            kill();
            (void)wait();
        }
    }
    Program(const Program&) = delete;
    Program& operator=(const Program&) = delete;

    /// As a pulled battery would end it: no handler runs, nothing is flushed.
    void kill() const { ::kill(m_pid, SIGKILL); }
    [[nodiscard]] Ran wait() {
        int status = 0;
        while (::waitpid(m_pid, &status, 0) < 0 && errno == EINTR) {
        }
        m_pid = -1;
        return {WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status), readFile(m_out),
                readFile(m_err)};
    }
    [[nodiscard]] std::string outSoFar() const { return readFile(m_out); }

private:
    static std::filesystem::path fresh(const std::filesystem::path& folder, const std::string& what) {
        static int count = 0;
        return folder / ("run-" + std::to_string(++count) + "." + what);
    }
    std::filesystem::path m_out;
    std::filesystem::path m_err;
    pid_t m_pid{-1};
};

/// A folder with a journal in it, and discalctl run on that.
class Desk {
public:
    explicit Desk(std::string name = "meadow.discal") : m_name(std::move(name)) {}

    [[nodiscard]] const std::filesystem::path& folder() const { return m_folder.path(); }
    [[nodiscard]] std::string path(const std::string& name) const {
        return (m_folder.path() / name).string();
    }
    [[nodiscard]] std::string journal() const { return path(m_name); }

    /// The words as they are, with no journal.
    [[nodiscard]] Ran bare(const std::vector<std::string>& words,
                           const std::vector<std::string>& environment = {}) const {
        return Program(m_folder.path(), words, environment).wait();
    }
    /// On this desk's journal.
    [[nodiscard]] Ran run(std::vector<std::string> words) const {
        words.push_back("--journal");
        words.push_back(journal());
        return bare(words);
    }
    /// Must be done; its stdout.
    [[nodiscard]] std::string done(const std::vector<std::string>& words) const {
        const Ran ran = run(words);
        if (ran.exit != 0)
            throw std::runtime_error("discalctl " + words.front() + " was refused: " + ran.err);
        return ran.out;
    }
    /// Must be done; what it says in JSON, an object a line.
    [[nodiscard]] std::vector<boost::json::object> json(std::vector<std::string> words) const {
        words.push_back("--json");
        return objects(done(words));
    }

    /// Throws when a line is no JSON object.
    [[nodiscard]] static std::vector<boost::json::object> objects(const std::string& text) {
        std::vector<boost::json::object> out;
        for (std::size_t at = 0; at < text.size();) {
            const auto end = std::min(text.find('\n', at), text.size());
            out.push_back(boost::json::parse(text.substr(at, end - at)).as_object());
            at = end + 1;
        }
        return out;
    }

private:
    TemporaryFolder m_folder;
    std::string m_name;
};

inline bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

} // namespace discal::tests
