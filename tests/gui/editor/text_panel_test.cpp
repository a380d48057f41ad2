// SPDX-License-Identifier: MIT
#include <QAbstractItemView>
#include <QApplication>
#include <QClipboard>
#include <QComboBox>
#include <QMimeData>
#include <QSignalSpy>
#include <QTest>
#include <QTextBlock>
#include <QTextLayout>
#include <QUndoStack>

#include <algorithm>

#include "gui/editor/completion_popup.h"
#include "gui/editor/text_panel.h"
#include "gui/editor/text_view.h"
#include "gui/models/text.h"
#include "tests/gui/shelf_job.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using editor::TextPanel;
using editor::TextView;

namespace {

/// A panel on the trial job; the shelf's sheet stands beside it, so that it may be edited.
struct Desk {
    std::unique_ptr<models::JobSession> session;
    std::unique_ptr<TextPanel> panel;

    Desk() {
        auto files = shelf::files();
        files->files["shed/shelf.spansheet"] = shelf::kSheet;
        session = std::make_unique<models::JobSession>(QStringLiteral("lib"), std::move(files));
        session->open(QStringLiteral("shed/job.spanjob"));
        panel = std::make_unique<TextPanel>(*session);
        panel->setQuick(60'000); // however busy the machine
        panel->resize(700, 400);
        panel->show();
        panel->refresh();
        view().setFocus();
        QTest::qWait(1);
    }
    TextView& view() { return panel->view(); }
    [[nodiscard]] std::string text() const { return shelf::text(*session); }
    /// The cursor behind a piece of the text shown.
    void behind(const char* piece) {
        const auto at = static_cast<int>(view().toPlainText().indexOf(QLatin1String(piece)));
        QVERIFY(at >= 0);
        QTextCursor cursor = view().textCursor();
        cursor.setPosition(at + static_cast<int>(qstrlen(piece)));
        view().setTextCursor(cursor);
    }
    [[nodiscard]] QString shown(const char* mark, const char* name) const { return models::fromUtf8(session->view(*session->find(mark, name)).shown); }
};

} // namespace

class TextPanelTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void typingIsAnEditOfTheJob() {
        Desk d;
        QSignalSpy cells(d.session.get(), &models::JobSession::cellsChanged);
        d.behind("L = 1.2");
        QTest::keyClick(&d.view(), Qt::Key_Backspace);
        QTest::keyClicks(&d.view(), QStringLiteral("50"));
        QCOMPARE(d.shown("S1", "L"), QStringLiteral("1.5 m"));
        QVERIFY(d.text().find("L = 1.50 m") != std::string::npos);
        QVERIFY(cells.count() > 0);
        QVERIFY(d.session->isModified());
        // What was typed in one go is one step; taken back, every byte is there again.
        QTest::keyClick(&d.view(), Qt::Key_Z, Qt::ControlModifier);
        QVERIFY(d.text().find("L = 1. m") != std::string::npos);
        QTest::keyClick(&d.view(), Qt::Key_Z, Qt::ControlModifier);
        QCOMPARE(QString::fromStdString(d.text()), QString::fromLatin1(shelf::kJob));
        QCOMPARE(d.view().toPlainText(), QString::fromLatin1(shelf::kJob));
        QTest::keyClick(&d.view(), Qt::Key_Z, Qt::ControlModifier | Qt::ShiftModifier);
        QTest::keyClick(&d.view(), Qt::Key_Z, Qt::ControlModifier | Qt::ShiftModifier);
        QCOMPARE(d.shown("S1", "L"), QStringLiteral("1.5 m"));
    }

    void whatIsCutIsPlainTextAndComesBackWhole() {
        Desk d;
        QTest::keyClick(&d.view(), Qt::Key_A, Qt::ControlModifier);
        QTest::keyClick(&d.view(), Qt::Key_X, Qt::ControlModifier);
        QVERIFY(d.text().empty());
        QCOMPARE(QApplication::clipboard()->mimeData()->formats(), QStringList{QStringLiteral("text/plain")});
        QTest::keyClick(&d.view(), Qt::Key_V, Qt::ControlModifier);
        QCOMPARE(QString::fromStdString(d.text()), QString::fromLatin1(shelf::kJob));
        // Nothing of what others put beside the words comes in.
        auto* rich = new QMimeData;
        rich->setHtml(QStringLiteral("<b>heavy</b>"));
        rich->setText(QStringLiteral("light"));
        QApplication::clipboard()->setMimeData(rich);
        d.behind("job     Trial");
        QTest::keyClick(&d.view(), Qt::Key_V, Qt::ControlModifier);
        QVERIFY(d.text().find("job     Triallight") != std::string::npos);
        QApplication::clipboard()->clear();
        QTest::keyClick(&d.view(), Qt::Key_V, Qt::ControlModifier);
        QVERIFY(d.text().find("job     Triallight\n") != std::string::npos);
    }

    void editsElsewhereAreSeenAtOnceAndTheCursorStays() {
        Desk d;
        d.behind("under the upper");
        QVERIFY(!d.session->setValue(*d.session->find("S1", "L"), QStringLiteral("2.125 m")));
        QCOMPARE(d.view().toPlainText(), QString::fromStdString(d.text()));
        QVERIFY(d.view().textCursor().block().text().left(d.view().textCursor().positionInBlock()).endsWith(QStringLiteral("under the upper")));
        // One history: what was typed there and here is taken back in turn.
        d.behind("job     Trial");
        QTest::keyClicks(&d.view(), QStringLiteral("s"));
        QCOMPARE(d.session->undoStack().count(), 2);
        d.session->undoStack().undo();
        QCOMPARE(d.view().toPlainText(), QString::fromStdString(d.text()));
        d.session->undoStack().undo();
        QCOMPARE(d.view().toPlainText(), QString::fromLatin1(shelf::kJob));
        QVERIFY(!d.session->isModified());
    }

    void whatIsWrongStandsInTheMarginWithItsMend() {
        Desk d;
        const auto before = d.view().notes().size();
        d.behind("L = 1.2 ");
        QTest::keyClick(&d.view(), Qt::Key_Delete);
        QTest::keyClicks(&d.view(), QStringLiteral("kg"));
        QVERIFY(d.view().notes().size() > before);
        const auto notes = d.view().notesOfLine(d.view().textCursor().blockNumber());
        QVERIFY(!notes.empty());
        QVERIFY(std::any_of(notes.begin(), notes.end(),
                            [](const editor::Note* n) { return n->weight == editor::Note::Weight::Error && n->message.contains(QStringLiteral("kg")); }));
        QVERIFY2(d.panel->told().contains(QStringLiteral("kg")), qPrintable(d.panel->told()));
        // The way there from elsewhere.
        d.behind("# a shelf");
        d.panel->nextNote();
        QVERIFY(d.view().textCursor().blockNumber() > 0);
        // And it is drawn under the place.
        d.behind("L = 1.2 kg");
        d.view().grab();
        bool wave = false;
        for (const auto& range : d.view().textCursor().block().layout()->formats())
            wave = wave || range.format.underlineStyle() == QTextCharFormat::WaveUnderline;
        QVERIFY(wave);
    }

    void cursorAndSelectionFollowEachOther() {
        Desk d;
        QSignalSpy placed(d.panel.get(), &TextPanel::placed);
        d.panel->showCell(d.session->find("S1", "L"));
        d.view().setFocus();
        d.behind("with  q = 0.5");
        QVERIFY(!placed.isEmpty());
        const auto spot = placed.last().first().value<models::Spot>();
        QCOMPARE(QString::fromStdString(spot.mark + "." + spot.name), QStringLiteral("S2.q"));
        // At a member's row it is the same value of that member.
        d.behind("member  P1");
        QVERIFY(!d.panel->spotAtCursor() || d.panel->spotAtCursor()->mark == "P1");
        d.behind("member  S2");
        QCOMPARE(QString::fromStdString(d.panel->spotAtCursor()->name), QStringLiteral("L"));
        // The other way, while the person is elsewhere.
        d.view().clearFocus();
        d.panel->showCell(d.session->find("S2", "q"));
        QVERIFY(d.view().textCursor().block().text().contains(QStringLiteral("q = 0.5 kN/m")));
        d.panel->showCell(d.session->find("S2", "b")); // not stated: the member
        QVERIFY(d.view().textCursor().block().text().startsWith(QStringLiteral("member  S2")));
        // In the sheet it is the row itself.
        d.panel->showFile(QStringLiteral("shed/shelf.spansheet"));
        d.panel->showCell(d.session->find("S2", "sigma"));
        QVERIFY(d.view().textCursor().block().text().startsWith(QStringLiteral("derive  sigma")));
        QCOMPARE(QString::fromStdString(d.panel->spotAtCursor()->mark + "." + d.panel->spotAtCursor()->name), QStringLiteral("S2.sigma"));
    }

    void aSheetIsEditedAndAReadyOneIsNot() {
        Desk d;
        QSignalSpy resets(d.session.get(), &models::JobSession::reset);
        d.panel->showFile(QStringLiteral("shed/shelf.spansheet"));
        d.behind("q*L/2");
        QTest::keyClicks(&d.view(), QStringLiteral("*3"));
        QCOMPARE(d.shown("S1", "R"), QStringLiteral("0.72 kN")); // 0.4*1.2/2*3
        // A new row is a new row of the grid.
        d.behind("-- reaction");
        QTest::keyClick(&d.view(), Qt::Key_Return);
        QTest::keyClicks(&d.view(), QStringLiteral("derive  R_2 [kN] = 2*R"));
        QVERIFY(d.session->find("S1", "R_2").has_value());
        QVERIFY(resets.count() > 0);
        QCOMPARE(d.shown("S1", "R_2"), QStringLiteral("1.44 kN"));
        QVERIFY(d.panel->file().endsWith(QStringLiteral("shelf.spansheet")));
        d.panel->showFile(QStringLiteral("lib/post.spansheet"));
        QVERIFY(d.view().isReadOnly());
        const QString before = d.view().toPlainText();
        QTest::keyClicks(&d.view(), QStringLiteral("x"));
        QCOMPARE(d.view().toPlainText(), before);
    }

    void suggestionsAreTakenByKey() {
        Desk d;
        d.behind("with  q = 0.5 kN/m");
        QTest::keyClick(&d.view(), Qt::Key_Return);
        QTest::keyClicks(&d.view(), QStringLiteral("wi"));
        QTRY_VERIFY(d.view().popup().isOpen());
        QTest::keyClick(d.view().popup().popup(), Qt::Key_Tab);
        QVERIFY(d.view().textCursor().block().text().endsWith(QStringLiteral("with")));
        QTest::keyClicks(&d.view(), QStringLiteral(" wood = "));
        QTest::keyClick(&d.view(), Qt::Key_Space, Qt::ControlModifier);
        QTRY_VERIFY(d.view().popup().isOpen());
        QCOMPARE(d.view().popup().list().rowCount(), 2);
        QTest::keyClick(d.view().popup().popup(), Qt::Key_Down);
        QTest::keyClick(d.view().popup().popup(), Qt::Key_Return);
        QVERIFY2(d.text().find("wood = hard") != std::string::npos, d.text().c_str());
        QCOMPARE(d.shown("S2", "wood"), QStringLiteral("hard"));
    }

    void returnOnAListThatCameByItselfIsALine() {
        Desk d;
        d.behind("with  q = 0.5 kN/m");
        QTest::keyClick(&d.view(), Qt::Key_Return);
        QTest::keyClicks(&d.view(), QStringLiteral("with  b = 3 kg"));
        QTRY_VERIFY(d.view().popup().isOpen()); // kgf, say
        QTest::keyClick(d.view().popup().popup(), Qt::Key_Return);
        QVERIFY2(d.text().find("with  b = 3 kg\n        \n") != std::string::npos, d.text().c_str());
        QVERIFY(!d.view().popup().isOpen());
    }

    void aLargeTextIsDressedOnlyWhereItIsSeen() {
        auto files = shelf::files();
        std::string job = shelf::kJob;
        for (int i = 0; i < 20000; ++i) job += "# a line that says nothing but its number " + std::to_string(i) + "\n";
        files->files["shed/job.spanjob"] = job;
        auto session = std::make_unique<models::JobSession>(QStringLiteral("lib"), std::move(files));
        session->open(QStringLiteral("shed/job.spanjob"));
        TextPanel panel(*session);
        panel.resize(600, 300);
        panel.show();
        panel.view().grab();
        int dressed = 0;
        for (QTextBlock b = panel.view().document()->begin(); b.isValid(); b = b.next()) dressed += b.userState() >= 0 ? 1 : 0;
        QVERIFY2(dressed > 5 && dressed < 100, qPrintable(QString::number(dressed)));
        // A letter typed at its end reads one row anew.
        const auto before = panel.buffer().document().rowsRead();
        QTextCursor cursor = panel.view().textCursor();
        cursor.movePosition(QTextCursor::End);
        cursor.movePosition(QTextCursor::Left);
        panel.view().setTextCursor(cursor);
        QTest::keyClicks(&panel.view(), QStringLiteral("x"));
        QVERIFY(panel.buffer().bytes().ends_with("19999x\n"));
        QVERIFY(panel.buffer().document().rowsRead() - before <= 2);
    }

    void ofMuchThatIsWrongAFewAreTold() {
        Desk d;
        const std::string before = d.text();
        QString rubbish;
        for (int i = 0; i < 3000; ++i) rubbish += QStringLiteral("what is this, 12.3 kN/m^2 \u0080\n");
        d.view().moveCursor(QTextCursor::End);
        QGuiApplication::clipboard()->setText(rubbish);
        d.view().paste();
        d.panel->commit();
        QVERIFY(d.view().notes().size() >= 3000);
        QVERIFY(d.panel->told().count(QLatin1Char('\n')) <= 6);
        // Taking it back, nothing is told of the lines that are going.
        d.session->undoStack().undo();
        QVERIFY(d.text() == before);
        QVERIFY2(d.panel->told().isEmpty(), qPrintable(d.panel->told()));
    }

    void bytesThatAnEditorBendsAreSafe() {
        auto files = shelf::files();
        std::string job = "\xEF\xBB\xBF" + std::string(shelf::kJob);
        for (std::size_t at = 0; (at = job.find('\n', at)) != std::string::npos; at += 2) job.insert(at, "\r");
        files->files["shed/job.spanjob"] = job;
        auto session = std::make_unique<models::JobSession>(QStringLiteral("lib"), std::move(files));
        session->open(QStringLiteral("shed/job.spanjob"));
        TextPanel panel(*session);
        panel.setQuick(60'000);
        panel.show();
        const auto at = static_cast<int>(panel.view().toPlainText().indexOf(QStringLiteral("L = 1.2"))) + 7;
        QTextCursor cursor = panel.view().textCursor();
        cursor.setPosition(at);
        panel.view().setTextCursor(cursor);
        QTest::keyClicks(&panel.view(), QStringLiteral("5"));
        std::string wanted = job;
        wanted.insert(wanted.find("L = 1.2") + 7, "5");
        QVERIFY(shelf::text(*session) == wanted);
        QVERIFY(!session->isModified() || session->job().filesTouched().size() == 1);
    }
};

SPANWRIGHT_QT_TEST(TextPanelTest);
#include "text_panel_test.moc"
