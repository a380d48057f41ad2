// SPDX-License-Identifier: MIT
#include <QSignalSpy>
#include <QTest>

#include "gui/models/loading.h"
#include "tests/gui/slow_job.h"
#include "tests/gui/test_list.h"
#include "tests/gui/shelf_job.h"

using namespace spanwright;
using namespace spanwright::models;

class LoadingTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void givesTheJobOnceItIsWorkedOut() {
        JobSession session(QStringLiteral("lib"), shelf::files());
        auto loading = session.startLoading(QStringLiteral("shed/job.spanjob"));
        QVERIFY(!loading->take().has_value());
        QSignalSpy done(loading.get(), &Loading::done);
        QTRY_COMPARE(done.count(), 1);
        auto loaded = loading->take();
        QVERIFY(loaded.has_value());
        QVERIFY(loaded->readable);
        QVERIFY(!session.isOpen());
        QSignalSpy reset(&session, &JobSession::reset);
        session.adopt(std::move(*loaded));
        QCOMPARE(reset.count(), 1);
        QCOMPARE(session.job().memberCount(), std::size_t(3));
        QVERIFY(!session.isModified());
        loading.reset(); // the job goes on without it
        QVERIFY(!session.setValue(*session.find("S1", "L"), QStringLiteral("2 m")));
        QVERIFY(session.changed(*session.find("S1", "M")));
    }

    void givenUpItGivesNothing() {
        JobSession session(QStringLiteral("lib"), slow::files(20'000));
        auto loading = session.startLoading(QStringLiteral("shed/job.spanjob"));
        QSignalSpy done(loading.get(), &Loading::done);
        QTRY_VERIFY(loading->progress().all > 0);
        loading->giveUp();
        QTRY_COMPARE_WITH_TIMEOUT(done.count(), 1, 20'000);
        QVERIFY(!loading->take().has_value());
        QVERIFY(!session.isOpen());
        // Gone in the middle of it, the thread ends with it.
        session.startLoading(QStringLiteral("shed/job.spanjob")).reset();
    }

    void whatCannotBeReadSaysSo() {
        JobSession session(QStringLiteral("lib"), shelf::files());
        auto loading = session.startLoading(QStringLiteral("shed/none.spanjob"));
        QSignalSpy done(loading.get(), &Loading::done);
        QTRY_COMPARE(done.count(), 1);
        const auto loaded = loading->take();
        QVERIFY(loaded.has_value());
        QVERIFY(!loaded->readable);
        QVERIFY(!loaded->copy.job->diagnostics().empty());
    }
};

SPANWRIGHT_QT_TEST(LoadingTest);
#include "loading_test.moc"
