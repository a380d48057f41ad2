// SPDX-License-Identifier: MIT
#include <QAbstractItemModelTester>
#include <QSignalSpy>
#include <QTest>

#include "gui/models/first_job.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using namespace spanwright::models;

namespace {

using Tester = QAbstractItemModelTester;

QString library() { return QStringLiteral(SPANWRIGHT_SOURCE_DIR "/sheets"); }

struct Fixture {
    FirstJob job{library()};
    Tester tester{&job, Tester::FailureReportingMode::QtTest};

    QModelIndex at(const char* name) { return job.index(job.rowOf(name)); }
    Outcome answer(const char* name, const char* typed) { return job.answer(job.rowOf(name), QString::fromUtf8(typed)); }
    QStringList names(bool needed) {
        QStringList out;
        for (int r = 0; r < job.rowCount(); ++r)
            if (job.index(r).data(FirstJob::NeededRole).toBool() == needed) out << job.index(r).data(FirstJob::NameRole).toString();
        return out;
    }
};

} // namespace

class FirstJobTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void asksWhatTheSheetAsks() {
        Fixture f;
        QVERIFY(!f.job.begin(QStringLiteral("eu/floor-joist"), QStringLiteral("J1")));
        QCOMPARE(f.names(true), QStringList({"L", "grade", "service", "category", "g_k", "q_k", "B_f"}));
        QVERIFY(f.names(false).contains(QStringLiteral("s")));
        QCOMPARE(f.at("L").data().toString(), QStringLiteral("first span, centre to centre of bearings"));
        QCOMPARE(f.at("L").data(FirstJob::RangeRole).toString(), QStringLiteral("0.3 m to 12 m"));
        QCOMPARE(f.at("L").data(FirstJob::UnitRole).toString(), QStringLiteral("m"));
        QCOMPARE(f.at("q_k").data(FirstJob::RangeRole).toString(), QStringLiteral("0 to 20 kN/m²"));
        QCOMPARE(f.at("s").data(FirstJob::DefaultRole).toString(), QStringLiteral("400 mm"));
        QVERIFY(f.at("grade").data(FirstJob::RowsRole).toStringList().contains(QStringLiteral("C24")));
        QVERIFY(f.at("category").data(FirstJob::RowWordsRole).toStringList().contains(QStringLiteral("A: domestic and residential floors")));
        QCOMPARE(f.at("held").data(FirstJob::RowWordsRole).toStringList(), QStringList({"yes", "no"})); // and not "yes: yes"
        // A load says where it comes from; a length that was measured need not.
        QVERIFY(f.at("q_k").data(FirstJob::AsksFromRole).toBool());
        QVERIFY(!f.at("L").data(FirstJob::AsksFromRole).toBool());
        QCOMPARE(f.job.needed(), 7);
        QCOMPARE(f.job.neededStated(), 0);
        QVERIFY(f.job.member().verdict == job::Verdict::NotProven);
    }

    void answersAreReadByTheLanguagesRules() {
        Fixture f;
        QVERIFY(!f.job.begin(QStringLiteral("eu/floor-joist"), QStringLiteral("J1")));
        QSignalSpy answered(&f.job, &FirstJob::answered);
        QVERIFY(!f.answer("L", "3,6"));
        QCOMPARE(answered.count(), 1);
        QCOMPARE(f.at("L").data(Qt::EditRole).toString(), QStringLiteral("3.6 m"));
        QVERIFY(f.at("L").data(FirstJob::StatedRole).toBool());
        // Refused: the reason stays at the question, the value as it was.
        for (const char* wrong : {"2 kg", "1,200", "40 m"}) {
            QVERIFY2(f.answer("L", wrong).has_value(), wrong);
            QVERIFY(!f.at("L").data(FirstJob::RefusalRole).toString().isEmpty());
            QCOMPARE(f.at("L").data(Qt::EditRole).toString(), QStringLiteral("3.6 m"));
        }
        QVERIFY(f.answer("grade", "C99").has_value());
        // Each is told, and is no answer, though the job has the one of before.
        QCOMPARE(answered.count(), 5);
        QCOMPARE(f.job.refused(), (std::vector<int>{f.job.rowOf("L"), f.job.rowOf("grade")}));
        QCOMPARE(f.job.neededStated(), 0);
        QVERIFY(!f.job.text().ok());
        QVERIFY(!f.answer("grade", ""));
        QCOMPARE(f.job.refused(), (std::vector<int>{f.job.rowOf("L")}));
        QVERIFY(!f.answer("L", "3.6 m"));
        QVERIFY(f.job.refused().empty());
        QCOMPARE(f.job.neededStated(), 1);
        QVERIFY(!f.answer("L", "14 ft 6 in"));
        QVERIFY(f.at("L").data(FirstJob::RefusalRole).toString().isEmpty());
        QCOMPARE(f.job.neededStated(), 1);
        // Taken back.
        QVERIFY(!f.answer("L", ""));
        QVERIFY(!f.at("L").data(FirstJob::StatedRole).toBool());
        QCOMPARE(f.job.neededStated(), 0);
    }

    void whereAFigureComesFromStandsBehindIt() {
        Fixture f;
        QVERIFY(!f.job.begin(QStringLiteral("eu/roof-joist"), QStringLiteral("J1")));
        // Said before there is a figure, it waits for one.
        QVERIFY(!f.job.sayFrom(f.job.rowOf("s_k"), QStringLiteral("invented snow map, zone 2, 340 m")));
        QCOMPARE(f.at("s_k").data(FirstJob::FromRole).toString(), QStringLiteral("invented snow map, zone 2, 340 m"));
        QVERIFY(!f.answer("s_k", "1.4"));
        const auto text = f.job.text();
        QVERIFY(text.ok());
        QVERIFY2(text.value().find("with  s_k = 1.4 kN/m^2 -- invented snow map, zone 2, 340 m\n") != std::string::npos, text.value().c_str());
        QVERIFY(!f.job.sayFrom(f.job.rowOf("s_k"), QStringLiteral("asked the building authority")));
        QCOMPARE(f.at("s_k").data(FirstJob::FromRole).toString(), QStringLiteral("asked the building authority"));
        QVERIFY(f.job.sayFrom(f.job.rowOf("s_k"), QStringLiteral("a -- b")).has_value());
        QVERIFY(!f.at("s_k").data(FirstJob::RefusalRole).toString().isEmpty());
    }

    void whatAppliesOnlySometimesIsAskedOnlyThen() {
        Fixture f;
        QVERIFY(!f.job.begin(QStringLiteral("eu/stud"), QStringLiteral("P1")));
        QVERIFY(f.job.rowOf("p_W") < 0);
        QSignalSpy come(&f.job, &QAbstractItemModel::rowsInserted);
        QVERIFY(!f.answer("wall", "outer"));
        QVERIFY(f.job.rowOf("p_W") >= 0);
        QVERIFY(come.count() >= 2);
        QSignalSpy gone(&f.job, &QAbstractItemModel::rowsRemoved);
        QVERIFY(!f.answer("wall", "inner"));
        QVERIFY(f.job.rowOf("p_W") < 0);
        QVERIFY(gone.count() >= 2);
    }

    void anotherSheetKeepsTheAnswersThatFit() {
        Fixture f;
        QVERIFY(!f.job.begin(QStringLiteral("eu/floor-joist"), QStringLiteral("J1")));
        QVERIFY(!f.answer("L", "3.6 m"));
        QVERIFY(!f.answer("grade", "C24"));
        QVERIFY(!f.answer("g_k", "0.5"));
        QVERIFY(!f.job.sayFrom(f.job.rowOf("g_k"), QStringLiteral("weighed")));
        QVERIFY(!f.job.begin(QStringLiteral("us/floor-joist"), QStringLiteral("J1")));
        QCOMPARE(f.at("L").data(Qt::EditRole).toString(), QStringLiteral("3.6 m"));
        QVERIFY(!f.at("grade").data(FirstJob::StatedRole).toBool()); // no C24 there
        QVERIFY(!f.job.begin(QStringLiteral("eu/roof-joist"), QStringLiteral("J1")));
        QCOMPARE(f.at("L").data(Qt::EditRole).toString(), QStringLiteral("3.6 m"));
        // A sheet that is not there leaves all as it is.
        QVERIFY(f.job.begin(QStringLiteral("eu/none"), QStringLiteral("J1")).has_value());
        QCOMPARE(f.job.sheet(), QStringLiteral("eu/roof-joist"));
        QCOMPARE(f.at("L").data(Qt::EditRole).toString(), QStringLiteral("3.6 m"));
    }

    void theTextIsAJobWithWhatIsOpenWrittenOut() {
        Fixture f;
        QVERIFY(!f.job.begin(QStringLiteral("eu/floor-joist"), QStringLiteral("J1")));
        QVERIFY(!f.answer("L", "3.6 m"));
        const auto text = f.job.text();
        QVERIFY(text.ok());
        const std::string& t = text.value();
        QVERIFY2(t.find("member  J1 = eu/floor-joist\n        off   1\n        with  L = 3.6 m\n        with  grade = ?\n") != std::string::npos, t.c_str());
        QVERIFY(t.find("with  B_f = ?\n") != std::string::npos);
        QVERIFY(t.find(" s = ") == std::string::npos);
        // Writing it out answers nothing.
        QCOMPARE(f.job.neededStated(), 1);
    }

    void everyReadySheetCanBeBegun() {
        int pictured = 0;
        for (const job::ReadySheet& sheet : job::readySheets(io::Disk(), library().toStdString())) {
            Fixture f;
            QVERIFY2(!f.job.begin(QString::fromStdString(sheet.name), QStringLiteral("M1")), sheet.name.c_str());
            QVERIFY2(f.job.needed() > 0, sheet.name.c_str());
            QVERIFY2(f.job.session().job().diagnostics().size() == static_cast<std::size_t>(f.job.needed()) ||
                         f.job.session().job().verdict() != job::Verdict::Ok,
                     sheet.name.c_str());
            for (int r = 0; r < f.job.rowCount(); ++r) {
                const QModelIndex at = f.job.index(r);
                QVERIFY2(!at.data().toString().isEmpty(), sheet.name.c_str());
                if (at.data(FirstJob::ChoiceRole).toBool() && at.data(FirstJob::NeededRole).toBool())
                    QVERIFY2(!at.data(FirstJob::RowsRole).toStringList().isEmpty(), sheet.name.c_str());
            }
            if (pictureOf(sheet)) ++pictured;
        }
        QVERIFY(pictured >= 5);
        for (const FirstPicture p : kFirstPictures) {
            QVERIFY(!firstPictureName(p).isEmpty());
            QVERIFY(!firstMark(p).isEmpty());
        }
    }
};

SPANWRIGHT_QT_TEST(FirstJobTest);
#include "first_job_test.moc"
