// SPDX-License-Identifier: MIT
// Pictures of the window on a job, to be looked at: spanwright_screenshots JOB LIBRARY FOLDER.
#include <QAction>
#include <QApplication>
#include <QDir>
#include <QDockWidget>
#include <QSettings>
#include <QStandardPaths>
#include <QTabBar>
#include <QTableView>
#include <QTest>

#include <cstdio>

#include "gui/app/desk_window.h"
#include "gui/app/paper_view.h"
#include "gui/app/print_dialog.h"
#include "gui/app/vary_dialog.h"
#include "gui/views/first_screen.h"
#include "gui/views/grid_view.h"
#include "gui/views/list_editor.h"
#include "gui/views/paper_style.h"
#include "gui/views/plots_panel.h"
#include "gui/views/question_form.h"
#include "gui/views/sentence_bar.h"

namespace models = spanwright::models;
using spanwright::app::DeskWindow;
using spanwright::app::Theme;

int main(int argc, char** argv) {
    QApplication app(argc, argv);
    if (argc != 4) {
        std::fprintf(stderr, "usage: spanwright_screenshots JOB LIBRARY FOLDER\n");
        return 2;
    }
    QStandardPaths::setTestModeEnabled(true);
    QApplication::setOrganizationName(QStringLiteral("spanwright"));
    QApplication::setApplicationName(QStringLiteral("screenshots"));
    QApplication::setStyle(new spanwright::views::PaperStyle);
    QSettings().clear();
    const QString job = QString::fromLocal8Bit(argv[1]), folder = QString::fromLocal8Bit(argv[3]);
    QDir().mkpath(folder);

    DeskWindow window(QString::fromLocal8Bit(argv[2]), QDir::temp().filePath(QStringLiteral("spanwright-screenshots")));
    const auto picture = [&](const char* name, int width, int height) {
        window.resize(width, height);
        window.show();
        if (!QTest::qWaitForWindowExposed(&window)) return;
        QTest::qWait(250);
        window.grab().save(folder + QLatin1Char('/') + QLatin1String(name) + QStringLiteral(".png"));
    };
    picture("first-page", 1280, 800);
    window.first().choosePicture(models::FirstPicture::Joist);
    picture("first-rules", 1280, 800);
    window.first().begin(QStringLiteral("eu/floor-joist"));
    picture("first-asked", 1280, 800);
    const auto answer = [&](const char* name, const char* text) {
        models::FirstJob& first = window.first().job();
        (void)first.answer(first.rowOf(name), QString::fromUtf8(text));
    };
    for (const auto& [name, text] : {std::pair{"L", "4.2 m"}, {"grade", "C24"}, {"service", "1"}, {"category", "A"}, {"g_k", "0.5"}, {"B_f", "5 m"}})
        answer(name, text);
    (void)window.first().job().sayFrom(window.first().job().rowOf("g_k"), QStringLiteral("weighed by the builder (invented)"));
    answer("q_k", "2 kg/m^2");
    picture("first-refused", 1280, 800);
    answer("q_k", "2.0");
    picture("first-answered", 1280, 800);
    window.first().begin(QStringLiteral("eu/roof-joist"));
    (void)window.first().job().addLoads();
    for (const auto& [name, text] : {std::pair{"L", "3.1 m"}, {"grade", "C24"}, {"service", "2"}, {"A1.q_u", "0.4"}, {"A1.s_k", "1.8"}}) answer(name, text);
    if (auto* field = window.first().form().field(QStringLiteral("A1.layers")); field != nullptr && field->list() != nullptr) {
        models::ListRows& rows = field->list()->rows();
        for (const QStringList& line : {QStringList{"plywood", "18", "520", "1"}, {"wool", "200", "45", "1"}, {"ceiling boards", "20", "420", "1"}}) {
            rows.insertRow(rows.rowCount());
            for (int c = 0; c < line.size(); ++c) (void)rows.setData(rows.index(rows.rowCount() - 1, c), line[c], Qt::EditRole);
        }
        (void)rows.setData(rows.index(1, 1), QStringLiteral("200 kg"), Qt::EditRole);
        window.first().form().goTo(QStringLiteral("A1.layers"));
    }
    picture("first-loads", 1280, 800);
    window.first().begin(QStringLiteral("eu/floor-joist"));
    window.setTheme(Theme::Dark);
    picture("first-dark", 1600, 1000);
    window.setLetters(180);
    picture("first-large-dark", 1280, 720);
    window.first().showPictures();
    picture("first-page-large", 1024, 720);
    window.setTheme(Theme::Light);
    window.setLetters(100);
    window.first().begin(QStringLiteral("eu/ridge-beam"));
    picture("first-ridge", 1024, 720);
    window.openFile(job);
    window.activateWindow();
    window.gridView().setFocus();
    picture("opened", 1280, 800);
    if (const auto layers = window.session().find("A2", "layers")) {
        (void)window.gridView().editList(*layers);
        picture("list", 1280, 800);
        window.gridView().closeList();
    }
    const auto& session = window.session();
    // The first member of the sheet that most members use.
    std::string firstMark;
    std::size_t most = 0;
    for (const auto& group : session.groups()) {
        if (group.members.size() <= most) continue;
        most = group.members.size();
        firstMark = session.job().member(group.members.front()).mark;
    }
    // For the pages about the window: small, usual, large.
    window.goTo({firstMark, "bending"});
    window.plots().setOverlaid(true);
    picture("window-1280x720", 1280, 720);
    picture("window-1920x1080", 1920, 1080);
    window.setTheme(Theme::Dark);
    window.setLetters(200);
    picture("window-3840x2160-dark", 3840, 2160);
    window.setLetters(100);
    window.setTheme(Theme::Light);
    window.plots().setOverlaid(false);
    window.goTo({firstMark, "bending"});
    picture("check", 1280, 800);
    window.goTo({firstMark, "M_d"});
    picture("derived", 1280, 720);
    window.goTo({firstMark, "grade"});
    window.gridView().editCurrent();
    picture("choice", 1280, 800);
    QTest::keyClick(QApplication::focusWidget(), Qt::Key_Escape);
    window.goTo({firstMark, "L"});
    window.gridView().editCurrent();
    if (QApplication::focusWidget() != nullptr) {
        QTest::keyClicks(QApplication::focusWidget(), QStringLiteral("1,200"));
        QTest::keyClick(QApplication::focusWidget(), Qt::Key_Return);
    }
    picture("refused", 1280, 800);
    QTest::keyClick(QApplication::focusWidget(), Qt::Key_Escape);
    (void)window.session().setValue(*session.find(firstMark, "L"), QStringLiteral("3.9 m"));
    window.action(QStringLiteral("filter4"))->trigger();
    picture("changed", 1280, 800);
    window.session().undoStack().undo();
    window.action(QStringLiteral("filter1"))->trigger();
    window.sentence().setOpen(true);
    picture("wrong", 1280, 800);
    window.sentence().setOpen(false);
    window.action(QStringLiteral("filter0"))->trigger();
    window.action(QStringLiteral("nextSheet"))->trigger();
    picture("next-sheet", 1600, 1000);
    if (auto* tabs = window.findChild<QTabBar*>(QStringLiteral("sheets")); tabs != nullptr) tabs->setCurrentIndex(tabs->count() - 1);
    picture("whole-job", 1280, 800);
    window.goTo({firstMark, "bending"});
    window.setTheme(Theme::Dark);
    picture("dark", 1600, 1000);
    window.setLetters(200);
    picture("large-dark", 1280, 720);
    window.setTheme(Theme::Light);
    picture("large", 1280, 720);
    window.setLetters(100);
    // Trials: beside a value, beside a check that fails, behind the sentence, and tables.
    std::string failing;
    for (std::size_t m = 0; m < session.job().memberCount() && failing.empty(); ++m)
        if (session.job().member(m).verdict == spanwright::job::Verdict::Fails) failing = session.job().member(m).mark;
    const auto trials = [&](const std::string& look, int height) {
        const auto shot = [&](const std::string& name) { picture((name + look).c_str(), 1280, height); };
        window.goTo({firstMark, "L"});
        QTest::qWait(1500);
        shot("trial-how-far");
        window.goTo({firstMark, "grade"});
        QTest::qWait(1500);
        shot("trial-choice");
        window.goTo({failing, "bending"});
        QTest::qWait(2500);
        shot("trial-failing-check");
        window.sentence().setOpen(true);
        QTest::qWait(2500);
        shot("trial-sentence");
        window.sentence().setOpen(false);
        window.goTo({firstMark, "h"});
        window.action(QStringLiteral("vary"))->trigger();
        spanwright::app::VaryDialog* vary = window.varyDialog();
        if (vary == nullptr || !QTest::qWaitForWindowExposed(vary)) return;
        const auto table = [&](const std::string& name) {
            vary->workOut();
            QTest::qWait(2500);
            vary->grab().save(folder + QLatin1Char('/') + QString::fromStdString(name + look) + QStringLiteral(".png"));
        };
        table("vary-one");
        spanwright::models::VaryWish wish = vary->wish();
        wish.fields[0] = {QString::fromStdString(failing + ".h"), QStringLiteral("195 mm"), QStringLiteral("295 mm"), QStringLiteral("25 mm"), {}};
        wish.fields[1] = {QString::fromStdString(failing + ".s"), {}, {}, {}, QStringLiteral("300 mm, 400 mm, 500 mm, 600 mm")};
        vary->setWish(wish);
        table("vary-two");
        wish.fields[0].to = QStringLiteral("95 mm");
        vary->setWish(wish);
        table("vary-wrong");
        vary->close();
        QTest::qWait(50);
    };
    trials("", 800);
    trials("-720", 720);
    window.setTheme(Theme::Dark);
    trials("-dark", 800);
    window.setLetters(200);
    trials("-dark-large", 720);
    window.setLetters(100);
    window.setTheme(Theme::Light);
    // The workshop's three views, planned to the end; then in the middle of it.
    window.action(QStringLiteral("workshop"))->trigger();
    const auto rests = [&] { return window.live().workshop() && !window.live().isOutOfDate() && window.live().phase() == models::LiveWorkshop::Phase::Rests; };
    (void)QTest::qWaitFor(rests, 120'000);
    const auto front = [&](const char* name) { window.findChild<QDockWidget*>(QLatin1String(name))->raise(); };
    for (const char* name : {"schedule", "cutting", "cost"}) {
        front(name);
        picture(qPrintable(QStringLiteral("shop-%1").arg(QLatin1String(name))), 1280, 800);
        picture(qPrintable(QStringLiteral("shop-%1-720").arg(QLatin1String(name))), 1280, 720);
    }
    window.setTheme(Theme::Dark);
    window.setLetters(200);
    for (const char* name : {"schedule", "cutting", "cost"}) {
        front(name);
        picture(qPrintable(QStringLiteral("shop-%1-large-dark").arg(QLatin1String(name))), 1600, 1000);
    }
    window.setLetters(100);
    window.setTheme(Theme::Light);
    front("cutting");
    (void)window.session().setValue(*session.find(firstMark, "L"), QStringLiteral("3.7 m"));
    window.session().finish();
    picture("shop-out-of-date", 1280, 800);
    (void)QTest::qWaitFor([&] { return !window.live().soFar().empty(); }, 60'000);
    picture("shop-so-far", 1280, 800);
    window.action(QStringLiteral("workshop"))->trigger();
    window.session().undoStack().undo();
    spanwright::app::PrintDialog paper(window.session().otherCopy(), "J1", {}, &window);
    paper.resize(1280, 800);
    paper.show();
    if (QTest::qWaitForWindowExposed(&paper) && QTest::qWaitFor([&] { return paper.isReady(); }, 120'000)) {
        if (const auto book = paper.book()) paper.pages().showPage(book->pageOf(spanwright::report::memberId(session.job().memberByMark("J1").value_or(0))));
        QTest::qWait(250);
        paper.grab().save(folder + QStringLiteral("/on-paper.png"));
    }
    return 0;
}
