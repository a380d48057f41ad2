// SPDX-License-Identifier: MIT
// Jobs that take their time, in the real window: loading that is stopped, values that are worked out aside.
#include <QApplication>
#include <QMessageBox>
#include <QPushButton>
#include <QSettings>
#include <QTemporaryDir>
#include <QTest>
#include <QTimer>

#include "gui/app/desk_window.h"
#include "gui/app/load_dialog.h"
#include "gui/views/grid_view.h"
#include "gui/views/sentence_bar.h"
#include "gui/views/working_panel.h"
#include "tests/gui/shelf_job.h"
#include "tests/gui/slow_job.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using app::DeskWindow;
using models::GridModel;

namespace {

struct Large {
    QTemporaryDir dir;
    std::unique_ptr<DeskWindow> window;

    explicit Large(int cases) {
        QSettings().clear();
        put("shelf.spansheet", shelf::kSheet);
        put("post.spansheet", shelf::kOther);
        put("quick.spanjob", shelf::kJob);
        put("slow.spansheet", slow::sheet(cases));
        put("large.spanjob", slow::kJob);
        window = std::make_unique<DeskWindow>(dir.path(), dir.filePath(QStringLiteral("journal")));
        window->resize(1280, 720);
        window->show();
        QVERIFY(QTest::qWaitForWindowExposed(window.get()));
    }
    void put(const char* name, const std::string& bytes) {
        io::Disk disk;
        QVERIFY(disk.write(path(name).toStdString(), bytes).ok());
    }
    [[nodiscard]] QString path(const char* name) const { return dir.filePath(QString::fromUtf8(name)); }
    [[nodiscard]] QModelIndex at(const char* mark, const char* name) { return window->grid().indexOf(*window->session().find(mark, name)); }
};

} // namespace

class LargeJobTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void aJobOpenedAtTheStartHasItsWorkingBesideIt() {
        Large l(10);
        const auto* working = l.window->findChild<views::WorkingPanel*>();
        QVERIFY(working != nullptr);
        QVERIFY(!working->isVisible());
        l.window->openSoon(l.path("quick.spanjob"));
        QTRY_VERIFY(l.window->session().isOpen());
        QTRY_VERIFY(working->isVisible());
    }
    void loadingCanBeStoppedAndLosesNothing() {
        Large l(60'000);
        QVERIFY(l.window->openFile(l.path("quick.spanjob")));
        QVERIFY(!l.window->session().setValue(*l.window->session().find("S1", "L"), QStringLiteral("2 m")));
        QVERIFY(!l.window->session().save());
        bool seen = false;
        int ticks = 0;
        // The window lives on while the file is loaded: timers run.
        QTimer often;
        connect(&often, &QTimer::timeout, this, [&] {
            ++ticks;
            auto* dialog = qobject_cast<app::LoadDialog*>(QApplication::activeModalWidget());
            if (dialog == nullptr || seen) return;
            seen = true;
            dialog->findChild<QPushButton*>(QStringLiteral("stop"))->click();
        });
        often.start(20);
        QVERIFY2(!l.window->openFile(l.path("large.spanjob")), "it was loaded before it could be stopped");
        QVERIFY(seen);
        QVERIFY(ticks > 5);
        QCOMPARE(l.window->session().path(), l.path("quick.spanjob"));
        QCOMPARE(l.at("S1", "L").data().toString(), QStringLiteral("2"));
        QVERIFY(l.window->gridView().isVisible());
    }

    void aFileThatCannotBeReadLeavesWhatIsOpen() {
        Large l(10);
        QVERIFY(l.window->openFile(l.path("quick.spanjob")));
        // Whenever it comes, however busy the machine is.
        QTimer often;
        connect(&often, &QTimer::timeout, &often, [] {
            if (auto* told = qobject_cast<QMessageBox*>(QApplication::activeModalWidget())) told->reject();
        });
        often.start(20);
        QVERIFY(!l.window->openFile(l.path("none.spanjob")));
        QCOMPARE(l.window->session().path(), l.path("quick.spanjob"));
        QVERIFY(l.window->session().find("S1", "L").has_value());
    }

    void oldValuesAreMarkedAndTheWindowGoesOn() {
        Large l(1500);
        QVERIFY(l.window->openFile(l.path("large.spanjob")));
        models::JobSession& session = l.window->session();
        session.setPatience(std::chrono::milliseconds(0));
        session.workAside();
        QTRY_VERIFY_WITH_TIMEOUT(session.isAside(), 20'000);
        l.window->goTo({"S1", "room"});
        QVERIFY(l.window->working().shownText().contains(QStringLiteral("room")));
        QVERIFY(!session.setValue(*session.find("S1", "L"), QStringLiteral("2.4 m")));
        QVERIFY(session.isPending());
        QVERIFY(l.window->sentence().sentence().text().startsWith(QStringLiteral("Being worked out")));
        QVERIFY(l.window->working().shownText().contains(QStringLiteral("Out of date")));
        // An OK of before the edit is not drawn as one: no box, other words.
        l.window->gridView().members().viewport()->repaint();
        const QRect cell = l.window->gridView().members().visualRect(l.at("S1", "room"));
        const QImage old = l.window->gridView().members().viewport()->grab(cell).toImage();
        // It can be walked about in and edited meanwhile.
        QVERIFY(l.window->goTo({"S2", "b"}));
        QVERIFY(!session.setValue(*session.find("S2", "b"), QStringLiteral("300 mm")));
        QTRY_VERIFY_WITH_TIMEOUT(!session.isPending(), 30'000);
        QCOMPARE(l.at("S1", "L").data().toString(), QStringLiteral("2.4"));
        QCOMPARE(l.at("S2", "b").data().toString(), QStringLiteral("300"));
        QVERIFY(!l.window->sentence().sentence().text().startsWith(QStringLiteral("Being worked out")));
        const QImage now = l.window->gridView().members().viewport()->grab(cell).toImage();
        QVERIFY(old != now);
    }

    void whatAnEditOfRowsMadeIsWaitedFor() {
        Large l(1500);
        QVERIFY(l.window->openFile(l.path("large.spanjob")));
        models::JobSession& session = l.window->session();
        session.setPatience(std::chrono::milliseconds(0));
        session.workAside();
        QTRY_VERIFY_WITH_TIMEOUT(session.isAside(), 20'000);
        const auto here = [&] {
            const auto cell = l.window->gridView().currentCell();
            return cell ? session.job().member(cell->member).mark + "." + session.quantity(*cell).name : std::string();
        };
        l.window->goTo({"S1", "L"});
        l.window->action(QStringLiteral("duplicateMember"))->trigger();
        QCOMPARE(here(), std::string("S3.L")); // what is typed next is the copy's
        // A key behind the other moves, and takes out, the row that is meant.
        QVERIFY(!session.edit(QStringLiteral("copy"), [](job::Job& job) { return job.copySheet("slow", "our-slow", {}); }));
        session.finish();
        l.window->goTo({"S3", "b"});
        l.window->action(QStringLiteral("rowDown"))->trigger();
        l.window->action(QStringLiteral("rowDown"))->trigger();
        QCOMPARE(here(), std::string("S3.b"));
        const auto order = [&] {
            std::string out;
            for (const auto& q : session.job().sheet(session.find("S3", "b")->member).quantities) out += q.name + " ";
            return out;
        };
        QVERIFY2(order().find("b_2 w b ") != std::string::npos, order().c_str());
        l.window->goTo({"S3", "area"});
        l.window->action(QStringLiteral("removeRow"))->trigger();
        session.finish();
        QVERIFY2(order().find("area") == std::string::npos && order().find("most") != std::string::npos, order().c_str());
    }
};

SPANWRIGHT_QT_TEST(LargeJobTest);
#include "large_job_test.moc"
