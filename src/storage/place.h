#pragma once

#include <filesystem>
#include <string>

namespace discal::storage {

/// Where a journal lives: one database and its small companions, all beside it.
///
///   FILE          the journal (SQLite)            FILE-wal   its newest commits
///   FILE.state    projections, may be deleted     FILE.lock  held by whoever writes
///   FILE.key      the device's secret, mode 0600  FILE.mark  how far we had come, written after each commit
///   FILE.reserve  room that is freed when the disk is full
///   FILE.copies/  copies made without being asked for (services/safe_copies.h)
///   FILE.boundaries/  boundaries of countries that somebody added (services/kept_packs.h)
struct Place {
    std::filesystem::path database;
    std::filesystem::path side;  ///< prefix of the companions that are no databases
    std::string vfs{};           ///< SQLite VFS by name; empty: the system's. Tests put a failing disk here.

    explicit Place(std::filesystem::path file) : database(file), side(std::move(file)) {}
    Place(std::filesystem::path file, std::filesystem::path companions, std::string vfsName)
        : database(std::move(file)), side(std::move(companions)), vfs(std::move(vfsName)) {}

    [[nodiscard]] std::filesystem::path state() const { return database.string() + ".state"; }
    [[nodiscard]] std::filesystem::path lock() const { return side.string() + ".lock"; }
    [[nodiscard]] std::filesystem::path key() const { return side.string() + ".key"; }
    [[nodiscard]] std::filesystem::path mark() const { return side.string() + ".mark"; }
    [[nodiscard]] std::filesystem::path copies() const { return side.string() + ".copies"; }
    [[nodiscard]] std::filesystem::path boundaries() const { return side.string() + ".boundaries"; }
    [[nodiscard]] std::filesystem::path reserve() const { return side.string() + ".reserve"; }
};

} // namespace discal::storage
