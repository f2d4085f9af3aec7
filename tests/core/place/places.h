#pragma once

// The committed gazetteer, and tables of places whose truth others say (tests/data/places).

#include "core/exchange/csv.h"
#include "core/place/gazetteer.h"
#include "reference.h"

#include <map>
#include <stdexcept>
#include <string>
#include <vector>

namespace discal::tests {

inline std::span<const std::byte> asBytes(const std::string& text) {
    return {reinterpret_cast<const std::byte*>(text.data()), text.size()};
}

inline const std::string& gazetteerFile() {
    static const std::string bytes = readFile(sourceFile("assets/gazetteer/places.gazetteer"));
    return bytes;
}

inline const place::Gazetteer& gazetteer() {
    static const auto opened = place::Gazetteer::open(asBytes(gazetteerFile()));
    if (!opened)
        throw std::runtime_error("assets/gazetteer/places.gazetteer can't be opened: " +
                                 opened.error().detail);
    return *opened;
}

inline place::Place placeAt(double lat, double lon, double uncertainty = 0) {
    return gazetteer().locate({lat, lon}, uncertainty);
}

using TableRow = std::map<std::string, std::string>;
inline std::vector<TableRow> tableOf(const std::filesystem::path& file) {
    const std::string text = readFile(file);
    exchange::CsvReader reader(text);
    std::vector<std::string> header;
    std::vector<std::string> fields;
    std::vector<TableRow> rows;
    if (!reader.next(header).value_or(false))
        throw std::runtime_error("no table: " + file.string());
    while (reader.next(fields).value_or(false)) {
        TableRow row;
        for (std::size_t i = 0; i < header.size() && i < fields.size(); ++i)
            row[header[i]] = fields[i];
        rows.push_back(std::move(row));
    }
    return rows;
}
inline std::vector<TableRow> placesOf(const std::string& name) {
    return tableOf(sourceFile("tests/data/places/" + name));
}
inline place::LatLon whereOf(const TableRow& row) {
    return {std::stod(row.at("lat")), std::stod(row.at("lon"))};
}

} // namespace discal::tests
