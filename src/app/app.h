#pragma once

#include "app/tap_guard.h"
#include "app/volume_keys.h"
#include "viewmodels/boundaries_model.h"
#include "viewmodels/camera_page_model.h"
#include "viewmodels/correct_page_model.h"
#include "viewmodels/drafts.h"
#include "viewmodels/except_page_model.h"
#include "viewmodels/field_phone.h"
#include "viewmodels/hand_run_model.h"
#include "viewmodels/held_page_model.h"
#include "viewmodels/map_page_model.h"
#include "viewmodels/schemes_model.h"
#include "viewmodels/session_page_model.h"
#include "viewmodels/settings_model.h"
#include "viewmodels/share_page_model.h"
#include "viewmodels/story_page_model.h"
#include "viewmodels/already_model.h"
#include "viewmodels/people_model.h"
#include "viewmodels/rest.h"
#include "viewmodels/setup_page_model.h"
#include "viewmodels/sheet_page_model.h"
#include "viewmodels/sheets_model.h"
#include "viewmodels/sites_model.h"
#include "viewmodels/tag_page_model.h"
#include "viewmodels/today_page_model.h"
#include "viewmodels/towns_model.h"
#include "viewmodels/troubles_model.h"
#include "viewmodels/weather_page_model.h"

#include <QQmlApplicationEngine>
#include <QQuickWindow>
#include <QSettings>
#include <QStringList>
#include <memory>

namespace discal::app {

/// The models of all pages over one phone, and the window that shows them. Main, the tests and the pictures build the
/// app with this and nothing else.
class App {
public:
    /// Reads the first page's types on a thread of its own, while the journal is being opened.
    [[nodiscard]] static std::unique_ptr<QQmlApplicationEngine> beginLoading();

    /// `engine`: from beginLoading(), or none.
    App(viewmodels::FieldPhone& phone, std::unique_ptr<QSettings> settings,
        std::unique_ptr<QQmlApplicationEngine> engine = nullptr);
    ~App();

    /// Before the first App: the typeface, the style, smooth lines.
    static void prepare();

    /// Loads the window. False when a page can't be loaded; see warnings().
    [[nodiscard]] bool load();
    [[nodiscard]] QQuickWindow* window() const;
    /// A QML singleton of ours, by name.
    [[nodiscard]] QObject* singleton(const char* name);
    /// All that QML complained of since load(); every one is a fault of ours.
    [[nodiscard]] const QStringList& warnings() const { return m_warnings; }

    viewmodels::FieldPhone& phone;
    viewmodels::SettingsModel settings;
    viewmodels::TagPageModel tag;
    viewmodels::HeldPageModel held;
    viewmodels::ExceptPageModel exceptions;
    viewmodels::TodayPageModel today;
    viewmodels::StoryPageModel story;
    viewmodels::CorrectPageModel correct;
    viewmodels::SharePageModel share;
    viewmodels::SheetsModel sheets;
    viewmodels::SheetPageModel sheet;
    viewmodels::AlreadyModel already;
    viewmodels::PeopleModel people;
    viewmodels::SitesModel sites;
    viewmodels::SetupPageModel setup;
    viewmodels::HandRunModel handing;
    viewmodels::SchemesModel schemes;
    viewmodels::SessionPageModel session;
    viewmodels::WeatherPageModel weather;
    viewmodels::TroublesModel troubles;
    viewmodels::BoundariesModel boundaries;
    viewmodels::MapPageModel map;
    viewmodels::TownsModel towns;
    viewmodels::CameraPageModel camera;
    viewmodels::Drafts drafts;
    viewmodels::Rest rest;
    TapGuard taps;
    VolumeKeys volumeKeys;

private:
    void joinCamera();

    std::unique_ptr<QQmlApplicationEngine> m_engine;
    QStringList m_warnings;
};

} // namespace discal::app
