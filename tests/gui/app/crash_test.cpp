// SPDX-License-Identifier: MIT
// A run that is killed in the middle of an edit, and the next one that brings the edit back.
#include <QProcess>
#include <QStatusBar>
#include <QUndoStack>

#include <cstdio>

#include "tests/gui/app/desk_fixture.h"
#include "tests/gui/test_list.h"

using namespace spanwright;

/// Runs in a process of its own, which its parent kills: edits a job and waits.
class CrashVictim : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void editsAndWaits() {
        const QString folder = qEnvironmentVariable("SPANWRIGHT_TEST_CRASH");
        if (folder.isEmpty()) return; // nobody waits for it
        app::DeskWindow window(folder + QStringLiteral("/lib"), folder + QStringLiteral("/journal"));
        window.openFile(folder + QStringLiteral("/job.spanjob"));
        window.show();
        QVERIFY(!window.session().setValue(*window.session().find("S1", "L"), QStringLiteral("2.25 m")));
        const QDir journal(folder + QStringLiteral("/journal"));
        QTRY_COMPARE(journal.entryList({QStringLiteral("*.json")}).size(), 1);
        std::puts("edited");
        std::fflush(stdout);
        QTest::qWait(60000);
    }
};

class CrashTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void whatWasEditedOutlivesAKill() {
        if (!qEnvironmentVariable("SPANWRIGHT_TEST_CRASH").isEmpty()) return;
        LibraryDesk d;
        d.tester.reset();
        d.window.reset();
        QProcess victim;
        QProcessEnvironment environment = QProcessEnvironment::systemEnvironment();
        environment.insert(QStringLiteral("SPANWRIGHT_TEST_CRASH"), d.dir.path());
        victim.setProcessEnvironment(environment);
        victim.start(QCoreApplication::applicationFilePath(), {QStringLiteral("CrashVictim")});
        QVERIFY(victim.waitForStarted());
        QByteArray said;
        QTRY_VERIFY_WITH_TIMEOUT((said += victim.readAllStandardOutput()).contains("edited"), 20000);
        victim.kill();
        QVERIFY(victim.waitForFinished());
        QCOMPARE(victim.exitStatus(), QProcess::CrashExit);
        QFile file(d.job());
        QVERIFY(file.open(QIODevice::ReadOnly));
        QCOMPARE(QString::fromUtf8(file.readAll()), QString::fromLatin1(shelf::kJob));
        d.start();
        QCOMPARE(d.shown("S1", "L"), QStringLiteral("2.25"));
        QVERIFY(d.window->isWindowModified());
        QVERIFY2(d.window->statusBar()->currentMessage().contains(QStringLiteral("did not end well")), qPrintable(d.window->statusBar()->currentMessage()));
        QTest::keyClick(d.window.get(), Qt::Key_Z, Qt::ControlModifier);
        QCOMPARE(d.text(), QString::fromLatin1(shelf::kJob));
    }
};

SPANWRIGHT_QT_TEST(CrashVictim);
SPANWRIGHT_QT_TEST(CrashTest);
#include "crash_test.moc"
