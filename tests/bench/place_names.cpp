// How quickly a place gets its names: the gazetteer against an R*Tree of SQLite over the same polygons and
// towns, and against reverse geocoders of npm where they are, over the same points in one run.
//
//   place_names [POINTS] [NPM-FOLDER]     npm install --prefix NPM-FOLDER @rapideditor/country-coder@5.6.1
//                                         offline-geocode-city@1.0.2 reverse-geocode@1.3.3

#include "core/place/gazetteer.h"
#include "reference.h"
#include "storage/mapped_file.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <functional>
#include <iostream>
#include <random>
#include <sqlite3.h>
#include <sstream>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

using namespace discal;
using namespace discal::place;
using Clock = std::chrono::steady_clock;

namespace {

double micros(Clock::duration d) {
    return std::chrono::duration<double, std::micro>(d).count();
}

double percentile(std::vector<double> times, double p) {
    std::sort(times.begin(), times.end());
    return times[static_cast<std::size_t>(p * static_cast<double>(times.size() - 1))];
}

template <class T>
T need(Result<T> result) {
    if (!result) {
        std::cerr << "bench: error " << static_cast<int>(result.error().code) << " " << result.error().detail
                  << "\n";
        std::exit(1);
    }
    return std::move(*result);
}

void row(const std::string& name, double openMs, const std::vector<double>& times, const std::string& right,
         const std::string& size) {
    std::printf("%-28s%9.2f%9.1f%9.1f%7s%11s", name.c_str(), openMs, percentile(times, 0.5),
                percentile(times, 0.95), right.c_str(), size.c_str());
    std::fflush(stdout);
}

std::string megabytes(double bytes) {
    char text[32];
    std::snprintf(text, sizeof text, "%.1f MB", bytes / 1e6);
    return text;
}

/// Resident memory of this process now, in bytes.
double resident() {
    std::ifstream in("/proc/self/statm");
    double total = 0;
    double pages = 0;
    in >> total >> pages;
    return pages * static_cast<double>(::sysconf(_SC_PAGESIZE));
}

/// In a process of its own, so that its memory is its own.
void apart(const std::function<void()>& work) {
    std::fflush(stdout);
    const pid_t child = ::fork();
    if (child == 0) {
        work();
        std::fflush(stdout);
        ::_exit(0);
    }
    ::waitpid(child, nullptr, 0);
}

/// Points about the towns of North America, half a degree each way: most on land, as field work is.
std::vector<LatLon> pointsOf(const Gazetteer& gazetteer, std::size_t count) {
    std::vector<LatLon> towns;
    gazetteer.towns().all([&](const TownRecord& town) {
        AreaIndex area = town.area;
        AreaRecord record = gazetteer.file().area(area);
        for (int i = 0; i < 3 && record.kind != AreaRecord::Kind::Country; ++i)
            record = gazetteer.file().area(record.parent);
        if (record.code == "US" || record.code == "CA" || record.code == "MX")
            towns.push_back({town.y / 1e4, town.x / 1e4});
    });
    std::mt19937 random(20260905);
    std::uniform_real_distribution<double> aside(-0.5, 0.5);
    std::vector<LatLon> points;
    while (points.size() < count) {
        const LatLon& town = towns[random() % towns.size()];
        points.push_back({town.lat + aside(random), town.lon + aside(random)});
    }
    return points;
}

struct Airport {
    LatLon at;
    std::string country;
};
std::vector<Airport> airportsOf(const std::filesystem::path& file) {
    std::vector<Airport> airports;
    std::istringstream in(tests::readFile(file));
    std::string line;
    std::getline(in, line);
    while (std::getline(in, line)) {
        std::istringstream cells(line);
        std::string id, lat, lon, country;
        std::getline(cells, id, ',');
        std::getline(cells, lat, ',');
        std::getline(cells, lon, ',');
        std::getline(cells, country, ',');
        airports.push_back({{std::stod(lat), std::stod(lon)}, country});
    }
    return airports;
}

std::string share(std::size_t right, std::size_t of) {
    char text[16];
    std::snprintf(text, sizeof text, "%.1f %%", 100.0 * static_cast<double>(right) / static_cast<double>(of));
    return text;
}

void sqlite(int code, sqlite3* db) {
    if (code != SQLITE_OK && code != SQLITE_DONE && code != SQLITE_ROW) {
        std::cerr << "bench: " << sqlite3_errmsg(db) << "\n";
        std::exit(1);
    }
}

/// Boxes of the same border pieces by area in an R*Tree, points as in the file; towns in another.
void writeTree(const Gazetteer& gazetteer, const std::string& path) {
    sqlite3* db = nullptr;
    sqlite(sqlite3_open(path.c_str(), &db), db);
    sqlite(sqlite3_exec(db,
                        "PRAGMA journal_mode=OFF; PRAGMA synchronous=OFF; BEGIN;"
                        "CREATE VIRTUAL TABLE area_box USING rtree_i32(id, west, east, south, north);"
                        "CREATE TABLE area(id INTEGER PRIMARY KEY, rank INTEGER, points BLOB);"
                        "CREATE VIRTUAL TABLE town_box USING rtree_i32(id, west, east, south, north, +name "
                        "TEXT, +people REAL);",
                        nullptr, nullptr, nullptr),
           db);
    struct Shape {
        std::vector<std::int32_t> points; // runs of x, y; a run ends with INT32_MIN
        std::int32_t west{1 << 30}, south{1 << 30}, east{-(1 << 30)}, north{-(1 << 30)};
    };
    std::vector<Shape> shapes(gazetteer.file().areaCount());
    const Borders borders = gazetteer.borders();
    for (std::uint32_t arc = 0; arc < borders.arcCount(); ++arc)
        borders.piecesOf(arc, [&](const Borders::Piece& piece) {
            for (const AreaIndex area : {piece.one, piece.other}) {
                if (area >= shapes.size())
                    continue;
                Shape& shape = shapes[area];
                shape.west = std::min(shape.west, piece.west);
                shape.south = std::min(shape.south, piece.south);
                shape.east = std::max(shape.east, piece.east);
                shape.north = std::max(shape.north, piece.north);
                borders.pointsOf(piece.chunk, [&](std::int32_t x, std::int32_t y) {
                    shape.points.push_back(x);
                    shape.points.push_back(y);
                });
                shape.points.push_back(INT32_MIN);
            }
        });
    sqlite3_stmt* box = nullptr;
    sqlite3_stmt* put = nullptr;
    sqlite(sqlite3_prepare_v2(db, "INSERT INTO area_box VALUES(?,?,?,?,?)", -1, &box, nullptr), db);
    sqlite(sqlite3_prepare_v2(db, "INSERT INTO area VALUES(?,?,?)", -1, &put, nullptr), db);
    for (std::size_t i = 0; i < shapes.size(); ++i) {
        const Shape& shape = shapes[i];
        if (shape.points.empty())
            continue;
        const AreaRecord record = gazetteer.file().area(static_cast<AreaIndex>(i));
        const int id = static_cast<int>(i);
        int at = 0;
        for (const int value : {id, shape.west, shape.east, shape.south, shape.north})
            sqlite3_bind_int(box, ++at, value);
        sqlite(sqlite3_step(box), db);
        sqlite3_reset(box);
        sqlite3_bind_int(put, 1, id);
        sqlite3_bind_int(put, 2, record.kind == AreaRecord::Kind::County ? 0 : record.isCoarse ? 2 : 1);
        sqlite3_bind_blob(put, 3, shape.points.data(),
                          static_cast<int>(shape.points.size() * sizeof(std::int32_t)), SQLITE_STATIC);
        sqlite(sqlite3_step(put), db);
        sqlite3_reset(put);
    }
    sqlite3_finalize(box);
    sqlite3_finalize(put);
    sqlite(sqlite3_prepare_v2(db, "INSERT INTO town_box VALUES(?,?,?,?,?,?,?)", -1, &put, nullptr), db);
    int id = 0;
    gazetteer.towns().all([&](const TownRecord& town) {
        const std::string name = gazetteer.townName(town);
        int at = 0;
        for (const int value : {++id, town.x, town.x, town.y, town.y})
            sqlite3_bind_int(put, ++at, value);
        sqlite3_bind_text(put, 6, name.c_str(), -1, SQLITE_TRANSIENT);
        sqlite3_bind_double(put, 7, town.people);
        sqlite(sqlite3_step(put), db);
        sqlite3_reset(put);
    });
    sqlite3_finalize(put);
    sqlite(sqlite3_exec(db, "COMMIT", nullptr, nullptr, nullptr), db);
    sqlite3_close(db);
}

bool isInside(const std::int32_t* points, std::size_t count, double x, double y) {
    bool inside = false;
    for (std::size_t i = 0; i < count;) {
        double x1 = points[i];
        double y1 = points[i + 1];
        for (i += 2; i < count && points[i] != INT32_MIN; i += 2) {
            const double x2 = points[i];
            const double y2 = points[i + 1];
            if ((y1 <= y) != (y2 <= y) && x1 + (x2 - x1) * (y - y1) / (y2 - y1) > x)
                inside = !inside;
            x1 = x2;
            y1 = y2;
        }
        ++i;
    }
    return inside;
}

/// Which area, and the nearest town within a degree: less than the gazetteer answers.
class Tree {
public:
    explicit Tree(const std::string& path) {
        sqlite(sqlite3_open_v2(path.c_str(), &m_db, SQLITE_OPEN_READONLY, nullptr), m_db);
        sqlite(sqlite3_prepare_v2(
                   m_db,
                   "SELECT a.id, a.points FROM area_box b JOIN area a ON a.id = b.id WHERE b.west <= ?1 AND "
                   "b.east >= ?1 AND b.south <= ?2 AND b.north >= ?2 ORDER BY a.rank",
                   -1, &m_areas, nullptr),
               m_db);
        sqlite(sqlite3_prepare_v2(m_db,
                                  "SELECT west, south, people, name FROM town_box WHERE west >= ? AND east "
                                  "<= ? AND south >= ? AND north <= ?",
                                  -1, &m_towns, nullptr),
               m_db);
    }
    ~Tree() {
        sqlite3_finalize(m_areas);
        sqlite3_finalize(m_towns);
        sqlite3_close(m_db);
    }
    Tree(const Tree&) = delete;
    Tree& operator=(const Tree&) = delete;

    struct Answer {
        int area{-1};
        std::string town;
    };
    Answer ask(const LatLon& at) {
        const Outlook from(at);
        Answer answer;
        sqlite3_bind_int(m_areas, 1, static_cast<int>(from.x));
        sqlite3_bind_int(m_areas, 2, static_cast<int>(from.y));
        while (answer.area < 0 && sqlite3_step(m_areas) == SQLITE_ROW) {
            const auto* points = static_cast<const std::int32_t*>(sqlite3_column_blob(m_areas, 1));
            const auto count =
                static_cast<std::size_t>(sqlite3_column_bytes(m_areas, 1)) / sizeof(std::int32_t);
            if (isInside(points, count, from.x, from.y))
                answer.area = sqlite3_column_int(m_areas, 0);
        }
        sqlite3_reset(m_areas);
        double best = 1e300;
        for (const int reach : {1'000, 2'500, 10'000}) {
            int i = 0;
            for (const double edge : {from.x - reach, from.x + reach, from.y - reach, from.y + reach})
                sqlite3_bind_int(m_towns, ++i, static_cast<int>(edge));
            while (sqlite3_step(m_towns) == SQLITE_ROW) {
                const double metres =
                    from.metresTo(sqlite3_column_int(m_towns, 0), sqlite3_column_int(m_towns, 1));
                const double score = metres / Towns::weightOf(sqlite3_column_double(m_towns, 2));
                if (score < best) {
                    best = score;
                    answer.town = reinterpret_cast<const char*>(sqlite3_column_text(m_towns, 3));
                }
            }
            sqlite3_reset(m_towns);
            if (!answer.town.empty())
                break;
        }
        return answer;
    }

private:
    sqlite3* m_db{nullptr};
    sqlite3_stmt* m_areas{nullptr};
    sqlite3_stmt* m_towns{nullptr};
};

void benchGazetteer(const std::filesystem::path& path, const std::vector<LatLon>& points,
                    const std::vector<Airport>& airports) {
    const double before = resident();
    std::vector<double> opening;
    for (int i = 0; i < 200; ++i) {
        const auto began = Clock::now();
        const auto file = need(storage::MappedFile::open(path));
        const auto opened = need(Gazetteer::open(file.bytes()));
        if (opened.edition().empty())
            std::exit(1);
        opening.push_back(micros(Clock::now() - began) / 1000);
    }
    const auto file = need(storage::MappedFile::open(path));
    const auto gazetteer = need(Gazetteer::open(file.bytes()));
    std::vector<double> times;
    for (const LatLon& at : points) {
        const auto began = Clock::now();
        const Place place = gazetteer.locate(at, 15);
        times.push_back(micros(Clock::now() - began));
    }
    const double memory = resident() - before;
    std::size_t right = 0;
    for (const Airport& airport : airports)
        right += gazetteer.locate(airport.at, 0).country.code == airport.country ? 1 : 0;
    row("gazetteer", percentile(opening, 0.5), times, share(right, airports.size()),
        megabytes(static_cast<double>(file.bytes().size())));
    std::printf("%10s more\n", megabytes(memory).c_str());
    const auto checking = Clock::now();
    if (!gazetteer.verify())
        std::exit(1);
    std::printf("  its checksum, ms %.1f\n", micros(Clock::now() - checking) / 1000);
    std::vector<double> finding;
    for (const char* typed :
         {"v", "s", "la", "san", "viro", "saint", "montreal", "new york", "springfield", "zz"})
        for (int i = 0; i < 20; ++i) {
            const auto began = Clock::now();
            const auto found = gazetteer.find(typed, LatLon{43.56, -90.88}, 10);
            finding.push_back(micros(Clock::now() - began) / 1000);
        }
    std::printf("  a town by its first letters, ms: median %.2f, p95 %.2f\n", percentile(finding, 0.5),
                percentile(finding, 0.95));
}

void benchTree(const std::string& path, const std::vector<LatLon>& points) {
    const double before = resident();
    std::vector<double> opening;
    for (int i = 0; i < 20; ++i) {
        const auto began = Clock::now();
        Tree tree(path);
        (void)tree.ask({43.56, -90.88});
        opening.push_back(micros(Clock::now() - began) / 1000);
    }
    Tree tree(path);
    std::vector<double> times;
    for (const LatLon& at : points) {
        const auto began = Clock::now();
        const auto answer = tree.ask(at);
        times.push_back(micros(Clock::now() - began));
    }
    row("SQLite R*Tree (less asked)", percentile(opening, 0.5), times, "-",
        megabytes(static_cast<double>(std::filesystem::file_size(path))));
    std::printf("%10s more\n", megabytes(resident() - before).c_str());
}

} // namespace

int main(int argc, char* argv[]) {
    const std::size_t count = argc > 1 ? std::strtoul(argv[1], nullptr, 10) : 20'000;
    const std::string npm = argc > 2 ? argv[2] : "";
    const auto path = tests::sourceFile("assets/gazetteer/places.gazetteer");
    const auto airportsFile = tests::sourceFile("tests/data/places/airports.csv");
    const tests::TemporaryFolder folder;
    std::vector<LatLon> points;
    {
        const auto file = need(storage::MappedFile::open(path));
        const auto gazetteer = need(Gazetteer::open(file.bytes()));
        points = pointsOf(gazetteer, std::max<std::size_t>(count, 10));
        writeTree(gazetteer, folder.path() / "tree.sqlite");
    }
    std::ofstream table(folder.path() / "points.csv");
    table << "lat,lon\n";
    for (const LatLon& at : points)
        table << at.lat << ',' << at.lon << '\n';
    table.close();
    std::printf("%zu points about the towns of North America; right: countries of 400 airports\n",
                points.size());
    std::printf("%-28s%9s%9s%9s%7s%11s%15s\n", "", "open, ms", "median us", "p95 us", "right", "file",
                "memory");
    apart([&] { benchGazetteer(path, points, airportsOf(airportsFile)); });
    apart([&] { benchTree(folder.path() / "tree.sqlite", points); });
    if (npm.empty() || !std::filesystem::is_directory(std::filesystem::path(npm) / "node_modules") ||
        std::system("node --version >/dev/null 2>&1") != 0) {
        std::printf("npm's geocoders skipped: give a folder with node_modules, and have node\n");
        return 0;
    }
    std::fflush(stdout);
    const std::string command = "node '" + tests::sourceFile("tests/bench/npm_geocoders.mjs").string() +
                                "' '" + npm + "' '" + (folder.path() / "points.csv").string() + "' '" +
                                airportsFile.string() + "'";
    return std::system(command.c_str()) == 0 ? 0 : 1;
}
