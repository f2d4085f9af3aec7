// How the app feels, against what the machine can do, in one run:
// - from starting the program to the first frame on which somebody can tap, against an empty Qt Quick window
// - from the commit of a tap to the frame that shows it as saved
// - frames of a Today of 5,000 butterflies, scrolled from end to end
// - frames of the map, pulled by a finger at four scales, and pinched; towns by their first letters
// Off screen, with the software renderer, at twice the density: slower than any phone's graphics chip.
//
//   app_feel [RELEASES] [ROUNDS]     butterflies let go in the journal that is opened; starts to measure
//   app_feel --taps ROUNDS           one part alone, for a profiler
//   app_feel --scroll BUTTERFLIES
//   app_feel --map [BUTTERFLIES]     the map alone

#include "app/screen.h"
#include "services/sample/generate.h"
#include "services/system/system_clock.h"
#include "services/system/system_randomness.h"

#include <QEventLoop>
#include <QQmlApplicationEngine>
#include <QQuickView>
#include <QTemporaryDir>
#include <QTest>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <ctime>
#include <fcntl.h>
#include <spawn.h>
#include <string>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>
#include <vector>

using namespace discal;

extern char** environ;

namespace {

using Now = std::chrono::steady_clock;

double ms(Now::duration d) { return std::chrono::duration<double, std::milli>(d).count(); }

double percentile(std::vector<double> all, double p) {
    std::sort(all.begin(), all.end());
    return all.empty() ? 0 : all[static_cast<std::size_t>(p * static_cast<double>(all.size() - 1))];
}

template <class T>
T need(Result<T> result) {
    if (!result) {
        std::fprintf(stderr, "bench: error %d %s\n", static_cast<int>(result.error().code),
                     result.error().detail.c_str());
        std::exit(1);
    }
    if constexpr (!std::is_void_v<T>)
        return std::move(*result);
}

// The programs that are started -----------------------------------------------------------------------------------

/// Says so on the first frame and is gone: what closing costs is nobody's wait.
void leaveAtFirstFrame(QQuickWindow* window) {
    QObject::connect(window, &QQuickWindow::frameSwapped, window, [] {
        (void)::write(STDOUT_FILENO, "x", 1);
        ::_exit(0);
    });
}

int startEmpty(int argc, char** argv) {
    QGuiApplication application(argc, argv);
    QQuickView view;
    view.resize(360, 780);
    leaveAtFirstFrame(&view);
    view.show();
    return QGuiApplication::exec();
}

/// A window in QML: with nothing in it the least that a program with pages can be, with a key the least in which a tap
/// can do something.
int startQml(int argc, char** argv, const char* imports, const char* content) {
    QGuiApplication application(argc, argv);
    if (*content != '\0')
        app::App::prepare();
    QQmlApplicationEngine engine;
    engine.loadData(QByteArray("import QtQuick\n") + imports + "Window { width: 360; height: 780; visible: true\n" + content +
                    "}");
    auto* window = engine.rootObjects().isEmpty() ? nullptr
                                                  : qobject_cast<QQuickWindow*>(engine.rootObjects().constFirst());
    if (window == nullptr)
        return 1;
    leaveAtFirstFrame(window);
    return QGuiApplication::exec();
}

/// As main does it, on a journal that is there.
int startApp(int argc, char** argv) {
    QGuiApplication application(argc, argv);
    auto pages = app::App::beginLoading();
    app::App::prepare();
    services::SystemClock clock;
    services::SystemRandomness randomness;
    services::NoPositions positions;
    storage::Journal::WriteOptions options;
    options.program = "bench";
    options.newSeed = [&] { return randomness.bytes<32>(); };
    auto journal = need(storage::Journal::openForWriting(storage::Place(argv[2]), options));
    viewmodels::FieldPhone phone(*journal, clock, randomness, positions);
    need(phone.writer.ensureStarted({"phone", "bench", std::nullopt}));
    need(phone.resume());
    app::App app(phone, nullptr, std::move(pages));
    if (!app.load())
        return 1;
    leaveAtFirstFrame(app.window());
    return QGuiApplication::exec();
}

struct Start {
    double ms{0};
    long megabytes{0};
};
Start start(std::vector<std::string> words) {
    int pipe[2];
    if (::pipe2(pipe, O_CLOEXEC) != 0)
        std::exit(1);
    posix_spawn_file_actions_t actions;
    ::posix_spawn_file_actions_init(&actions);
    ::posix_spawn_file_actions_adddup2(&actions, pipe[1], STDOUT_FILENO);
    std::vector<char*> argv;
    for (std::string& word : words)
        argv.push_back(word.data());
    argv.push_back(nullptr);
    pid_t child = 0;
    const auto t0 = Now::now();
    if (::posix_spawn(&child, "/proc/self/exe", &actions, nullptr, argv.data(), environ) != 0)
        std::exit(1);
    ::close(pipe[1]);
    char byte = 0;
    const bool isThere = ::read(pipe[0], &byte, 1) == 1;
    const auto t1 = Now::now();
    ::close(pipe[0]);
    struct rusage usage {};
    ::wait4(child, nullptr, 0, &usage);
    ::posix_spawn_file_actions_destroy(&actions);
    if (!isThere) {
        std::fprintf(stderr, "bench: %s showed nothing\n", words[1].c_str());
        std::exit(1);
    }
    return {ms(t1 - t0), usage.ru_maxrss / 1024};
}

void measureStart(int releases, int rounds) {
    const QTemporaryDir folder;
    services::sample::GenerateOptions options;
    options.releases = releases;
    options.seed = 1;
    options.journal = (folder.path() + "/season.discal").toStdString();
    const auto season = need(services::sample::generate(options));
    std::vector<double> empty;
    std::vector<double> page;
    std::vector<double> key;
    std::vector<double> own;
    long emptyMegabytes = 0;
    long ownMegabytes = 0;
    for (int i = 0; i < rounds; ++i) {
        const Start e = start({"app_feel", "--empty"});
        const Start p = start({"app_feel", "--page"});
        const Start k = start({"app_feel", "--key"});
        const Start a = start({"app_feel", "--app", options.journal.string()});
        // The first of each brings the files into memory.
        if (i == 0)
            continue;
        empty.push_back(e.ms);
        page.push_back(p.ms);
        key.push_back(k.ms);
        own.push_back(a.ms);
        emptyMegabytes = std::max(emptyMegabytes, e.megabytes);
        ownMegabytes = std::max(ownMegabytes, a.megabytes);
    }
    std::printf("lines in the journal           %lld\n", static_cast<long long>(season.lines));
    std::printf("first frame, empty window, ms  p50 %6.1f  p90 %6.1f\n", percentile(empty, 0.5), percentile(empty, 0.9));
    std::printf("the same, window in QML, ms    p50 %6.1f  p90 %6.1f\n", percentile(page, 0.5), percentile(page, 0.9));
    std::printf("with one key, our type, ms     p50 %6.1f  p90 %6.1f\n", percentile(key, 0.5), percentile(key, 0.9));
    std::printf("first frame, Tag page, ms      p50 %6.1f  p90 %6.1f\n", percentile(own, 0.5), percentile(own, 0.9));
    std::printf("start against empty window     %.2f\n", percentile(own, 0.5) / percentile(empty, 0.5));
    std::printf("against the one in QML         %.2f\n", percentile(own, 0.5) / percentile(page, 0.5));
    std::printf("against the one with a key     %.2f\n", percentile(own, 0.5) / percentile(key, 0.5));
    std::printf("peak memory, MB                empty window %ld, app %ld\n", emptyMegabytes, ownMegabytes);
}

// In this program ---------------------------------------------------------------------------------------------------

/// Until the next frame is on the screen. In a loop, as the app runs: without one, what is to be deleted later never is,
/// rows that were scrolled past pile up, and collecting garbage takes longer and longer.
void untilFrame(QQuickWindow* window) {
    QEventLoop loop;
    QObject::connect(window, &QQuickWindow::frameSwapped, &loop, &QEventLoop::quit);
    window->update();
    loop.exec();
}

/// What this program has had of the processors: whatever else runs makes it wait, but adds nothing.
double ownMs() { return 1000.0 * static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

/// The same of the thread that draws: the map's ground is drawn ahead on another.
double threadMs() {
    timespec time{};
    ::clock_gettime(CLOCK_THREAD_CPUTIME_ID, &time);
    return 1000.0 * static_cast<double>(time.tv_sec) + static_cast<double>(time.tv_nsec) / 1e6;
}

void measureTaps(int count) {
    app::SamplePhone phone;
    phone.spendMorning(0);
    need(phone.phone().stock.receive({"RKE 0001", 5000, std::nullopt, 5}));
    phone.phone().stock.wentOnFrom(need(tag::Code::fromText("RKE 0001")));
    app::App app(phone.phone(), nullptr);
    if (!app.load())
        std::exit(1);
    app::settle(app.window());
    Now::time_point committed;
    QObject::connect(&phone.phone(), &viewmodels::FieldPhone::feedback, &phone.phone(), [&] { committed = Now::now(); });
    std::vector<double> commit;
    std::vector<double> beyond;
    const auto tapNamed = [&](const QString& start) {
        for (const auto& target : tests::targetsIn(app.window())) {
            if (!target.name.startsWith(start))
                continue;
            committed = {};
            const auto t0 = Now::now();
            QTest::mouseClick(app.window(), Qt::LeftButton, Qt::NoModifier, target.area.center().toPoint());
            untilFrame(app.window());
            const auto t1 = Now::now();
            if (committed != Now::time_point{}) {
                commit.push_back(ms(committed - t0));
                beyond.push_back(ms(t1 - committed));
            }
            app::settle(app.window());
            return true;
        }
        return false;
    };
    for (int i = 0; i < count; ++i) {
        phone.wait(std::chrono::seconds(30));
        if (!tapNamed(QStringLiteral("male"))) {
            // It asks what the next tag says; the second answer is the right one or she says so in the next round.
            const auto next = app.tag.property("digits").toString();
            for (const auto& target : tests::targetsIn(app.window()))
                if (target.name.endsWith(next))
                    tests::tap(app.window(), target);
            continue;
        }
        phone.wait(std::chrono::seconds(20));
        (void)tapNamed(QStringLiteral("Let go"));
    }
    std::printf("taps that wrote a line         %zu\n", beyond.size());
    std::printf("tap to commit, ms              p50 %6.2f  p99 %6.2f\n", percentile(commit, 0.5), percentile(commit, 0.99));
    std::printf("commit to saved on screen, ms  p50 %6.2f  p99 %6.2f\n", percentile(beyond, 0.5), percentile(beyond, 0.99));
}

void measureScroll(int butterflies) {
    app::SamplePhone phone;
    phone.spendMorning(0);
    need(phone.phone().stock.receive({"RKE 0001", 9000, std::nullopt, 5}));
    phone.phone().stock.wentOnFrom(need(tag::Code::fromText("RKE 0001")));
    for (int i = 0; i < butterflies; ++i) {
        phone.wait(std::chrono::seconds(1));
        services::Tagging::Note note;
        note.sex = i % 3 == 1 ? "female" : "male";
        need(phone.phone().tagging.note(note));
        need(phone.phone().tagging.release(std::nullopt));
    }
    app::App app(phone.phone(), nullptr);
    if (!app.load())
        std::exit(1);
    app.window()->setProperty("page", 2);
    app::settle(app.window());
    QQuickItem* list = tests::listIn(app.window()->contentItem());
    if (list == nullptr)
        std::exit(1);
    std::vector<double> frames;
    std::vector<double> own;
    double y = list->property("contentY").toDouble();
    // A quick flick: a third of the page a frame.
    for (int still = 0; still < 20;) {
        y += 250;
        const auto t0 = Now::now();
        const double own0 = ownMs();
        list->setProperty("contentY", std::min(y, list->property("contentHeight").toDouble() - list->height() +
                                                      list->property("originY").toDouble()));
        untilFrame(app.window());
        frames.push_back(ms(Now::now() - t0));
        own.push_back(ownMs() - own0);
        const bool isEnd = list->property("atYEnd").toBool();
        still = isEnd ? still + 1 : 0;
    }
    std::printf("butterflies on Today           %d of %d, in %zu frames\n", list->property("count").toInt(), app.today.total(),
                frames.size());
    std::printf("a frame of scrolling, ms       p50 %6.1f  p99 %6.1f  most %6.1f\n", percentile(frames, 0.5),
                percentile(frames, 0.99), percentile(frames, 1));
    std::printf("of that our own time, ms       p50 %6.1f  p99 %6.1f  most %6.1f\n", percentile(own, 0.5),
                percentile(own, 0.99), percentile(own, 1));
}

void tellFrames(const char* what, const std::vector<double>& frames, const std::vector<double>& own) {
    std::printf("%-30s p50 %6.1f  p99 %6.1f  most %6.1f   own p50 %6.1f  most %6.1f\n", what, percentile(frames, 0.5),
                percentile(frames, 0.99), percentile(frames, 1), percentile(own, 0.5), percentile(own, 1));
}

void measureMap(int butterflies, int steps) {
    app::SamplePhone phone;
    phone.spendMorning(0);
    need(phone.phone().stock.receive({"RKE 0001", 9000, std::nullopt, 5}));
    phone.phone().stock.wentOnFrom(need(tag::Code::fromText("RKE 0001")));
    for (int i = 0; i < butterflies; ++i) {
        phone.wait(std::chrono::seconds(1));
        need(phone.phone().tagging.note({}));
        place::Position position;
        position.latE7 = 435'000'000 + (i * 7'919) % 1'000'000;
        position.lonE7 = -909'500'000 + (i * 10'007) % 1'200'000;
        position.uncertaintyMm = 6'000;
        position.origin = place::Position::Origin::Typed;
        phone.phone().session.setTypedPosition(position);
        need(phone.phone().tagging.release(std::nullopt));
    }
    app::App app(phone.phone(), nullptr);
    if (!app.load())
        std::exit(1);
    app.window()->setProperty("opened", "map");
    app::settle(app.window());
    std::vector<double> frames;
    std::vector<double> own;
    const auto frame = [&](auto&& change) {
        const auto t0 = Now::now();
        const double own0 = threadMs();
        change();
        untilFrame(app.window());
        frames.push_back(ms(Now::now() - t0));
        own.push_back(threadMs() - own0);
    };
    const auto tell = [&](const char* what) {
        tellFrames(what, frames, own);
        frames.clear();
        own.clear();
    };
    struct Scale {
        const char* name;
        double metresPerDp;
    };
    for (const Scale& scale : {Scale{"map of a site, pulled, ms", 1.5}, {"of a county", 130}, {"of a state", 1'500},
                               {"of the continent", 12'000}}) {
        app.map.showDay();
        app.map.zoomAbout(app.map.view().metresPerPixel() / scale.metresPerDp,
                          {app.map.view().width() / 2, app.map.view().height() / 2});
        untilFrame(app.window());
        app.map.hold({180, 250});
        // A window's width in thirty frames
        for (int i = 1; i <= steps; ++i)
            frame([&] { app.map.pull({180 + 12.0 * i, 250 + 5.0 * i}, 1); });
        app.map.letGo();
        tell(scale.name);
    }
    app.map.showDay();
    app.map.hold({180, 250});
    for (int i = 1; i <= steps; ++i)
        frame([&] { app.map.pull({180, 250}, std::exp(-3.0 * i / steps)); });
    app.map.letGo();
    tell("pinched, ms");
    for (int i = 0; i < 12; ++i)
        frame([&] { i % 8 < 4 ? app.map.zoomOut() : app.map.zoomIn(); });
    tell("a key of zoom, ms");
    std::vector<double> search;
    for (const char* typed : {"v", "vi", "vir", "viro", "s", "sa", "san", "saint", "l", "la", "la c", "m", "mi", "mil"}) {
        const double own0 = threadMs();
        app.towns.setProperty("typed", typed);
        search.push_back(threadMs() - own0);
    }
    std::printf("towns by first letters, own ms p50 %6.2f  most %6.2f\n", percentile(search, 0.5), percentile(search, 1));
}

} // namespace

int main(int argc, char* argv[]) {
    ::setenv("QT_QPA_PLATFORM", "offscreen", 1);
    ::setenv("QT_QUICK_BACKEND", "software", 1);
    ::setenv("QT_SCALE_FACTOR", "2", 1);
    const std::string first = argc > 1 ? argv[1] : "";
    if (first == "--map") {
        tests::application();
        measureMap(argc > 2 ? std::atoi(argv[2]) : 500, 240);
        return 0;
    }
    if (first == "--empty")
        return startEmpty(argc, argv);
    if (first == "--page")
        return startQml(argc, argv, "", "");
    if (first == "--key")
        return startQml(argc, argv, "import QtQuick.Templates as T\n",
                        "T.AbstractButton { width: 300; height: 76; contentItem: Text { text: 'Let go' } }\n");
    if (first == "--app" && argc == 3)
        return startApp(argc, argv);
    if ((first == "--taps" || first == "--scroll") && argc == 3) {
        tests::application();
        first == "--taps" ? measureTaps(std::atoi(argv[2])) : measureScroll(std::atoi(argv[2]));
        return 0;
    }
    const int releases = argc > 1 ? std::atoi(argv[1]) : 2000;
    const int rounds = argc > 2 ? std::atoi(argv[2]) : 11;
    measureStart(releases, rounds);
    tests::application();
    measureTaps(rounds * 20);
    measureScroll(rounds > 5 ? 5000 : 300);
    measureMap(rounds > 5 ? 1000 : 50, rounds > 5 ? 240 : 30);
    return 0;
}
