// SPDX-License-Identifier: MIT
// How the job stands, told after each of many edits, is how a job read afresh from the same texts stands.
#include <QTest>
#include <QUndoStack>

#include <random>

#include "gui/models/problem_list.h"
#include "tests/gui/shelf_job.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using namespace spanwright::models;

namespace {

QStringList said(const Standing& s) {
    QStringList out{s.sentence};
    for (const std::size_t n : {static_cast<std::size_t>(s.verdict), s.members, s.notComputed, s.fails, s.notProven, s.notStated, s.errors, s.trials})
        out << QString::number(n);
    for (const Trouble& t : s.troubles)
        out << QStringLiteral("%1 %2 %3 %4 %5")
                   .arg(static_cast<int>(t.sort))
                   .arg(QString::fromStdString(t.mark), t.text, t.mend)
                   .arg(t.cell ? static_cast<qint64>(t.cell->member * 1000 + t.cell->quantity.index()) : -1);
    return out;
}

} // namespace

class StandingTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void edits_data() {
        QTest::addColumn<bool>("aside");
        QTest::newRow("worked out at once") << false;
        QTest::newRow("worked out aside") << true;
    }
    void edits() {
        QFETCH(bool, aside);
        auto s = shelf::open();
        if (aside) {
            s->workAside();
            QTRY_VERIFY(s->isAside());
        }
        ProblemList list(*s);
        std::mt19937 random(20261129);
        const auto pick = [&](std::initializer_list<const char*> words) { return *(words.begin() + random() % words.size()); };
        int ok = 0, fails = 0, notProven = 0, notComputed = 0, refused = 0;
        for (int i = 0; i < 400; ++i) {
            const char* mark = pick({"S1", "S2", "P1"});
            const auto set = [&](const char* name, std::initializer_list<const char*> values) {
                const auto cell = s->find(mark, name);
                if (cell && s->setValue(*cell, QString::fromLatin1(pick(values)))) ++refused;
            };
            if (i % 20 == 19) { // back to the job as it was read, and the one value stated that it lacks
                s->undoStack().setIndex(0);
                s->finish();
                QVERIFY(!s->setValue(*s->find("S2", "wood"), QStringLiteral("hard")));
            } else
                switch (random() % 8) {
                case 0: set("L", {"1.2 m", "2.4 m", "3.5 m", "", "9 m"}); break;
                case 1: set("h", {"30 mm", "18 mm", "60 mm", ""}); break;
                case 2: set("wood", {"soft", "hard", "", "none"}); break;
                case 3: set("q", {"q_all", "0.5 kN/m", "S1.R/1 m", "S2.R/1 m", ""}); break;
                case 4: set("N", {"S1.R", "S2.R", "60 kN", ""}); break;
                case 5: s->setJobGiven(QStringLiteral("q_all"), QString::fromLatin1(pick({"0.4 kN/m", "2 kN/m", "1/(0 m)"}))); break;
                case 6:
                    if (s->undoStack().canUndo()) s->undoStack().undo();
                    break;
                default: {
                    QString text = QString::fromLatin1(shelf::kSheet);
                    if (random() % 2 == 0) text.replace(QStringLiteral("= b*h^2/6"), QString::fromLatin1(pick({"= b*h^2/(h - 30 mm)", "= b*h", "= b*h^2/7"})));
                    (void)s->setText(QStringLiteral("lib/shelf.spansheet"), text);
                }
                }
            s->finish();
            auto files = shelf::files();
            for (const std::string& file : s->filesTouched()) files->files[file] = s->text(file).value_or("");
            JobSession fresh(QStringLiteral("lib"), std::move(files));
            fresh.open(s->path());
            QCOMPARE(said(list.standing()), said(standingOf(fresh)));
            switch (list.standing().verdict) {
            case job::Verdict::Ok: ++ok; break;
            case job::Verdict::Fails: ++fails; break;
            case job::Verdict::NotProven: ++notProven; break;
            case job::Verdict::NotComputed: ++notComputed; break;
            }
        }
        // The edits met what they were meant to meet.
        QVERIFY2(ok > 5 && fails > 20 && notProven > 20 && notComputed > 20 && refused > 5,
                 qPrintable(QStringLiteral("%1 %2 %3 %4 %5").arg(ok).arg(fails).arg(notProven).arg(notComputed).arg(refused)));
    }
};

SPANWRIGHT_QT_TEST(StandingTest);
#include "standing_test.moc"
