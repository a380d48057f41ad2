// SPDX-License-Identifier: MIT
// The calculation on paper, on a real window: chosen, previewed, written while work goes on, and the same bytes as the command's.
#include <QComboBox>
#include <QFile>
#include <QLabel>
#include <QListWidget>
#include <QMessageBox>
#include <QPrinter>
#include <QProcess>
#include <QPushButton>
#include <QScrollBar>
#include <QSettings>
#include <QSignalSpy>
#include <QTemporaryDir>
#include <QTest>
#include <QTimer>

#include "engine/io/files.h"
#include "engine/report/build.h"
#include "gui/app/paper_view.h"
#include "gui/app/print_dialog.h"
#include "tests/gui/app/desk_fixture.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using app::PaperView;
using app::PrintDialog;

namespace {

struct Trial {
    QTemporaryDir dir;
    std::unique_ptr<models::JobSession> session;
    std::unique_ptr<PrintDialog> dialog;

    explicit Trial(std::optional<std::string> mark, const std::string& job = shelf::kJob) {
        io::Disk disk;
        for (const auto& [name, text] :
             {std::pair{"job.spanjob", job.c_str()}, std::pair{"shelf.spansheet", shelf::kSheet}, std::pair{"post.spansheet", shelf::kOther}})
            QVERIFY(disk.write(path(name).toStdString(), text).ok());
        session = std::make_unique<models::JobSession>(dir.path());
        session->open(path("job.spanjob"));
        dialog = std::make_unique<PrintDialog>(session->otherCopy(), std::move(mark), path("job.pdf"), nullptr);
        // Whatever the machine's locale wants by default.
        combo("Size of the paper").setCurrentIndex(0);
        dialog->show();
        QVERIFY(QTest::qWaitForWindowExposed(dialog.get()));
        ready();
    }
    void ready() const { QTRY_VERIFY_WITH_TIMEOUT(dialog->isReady(), 60'000); }
    [[nodiscard]] QString path(const char* name) const { return dir.filePath(QLatin1String(name)); }
    [[nodiscard]] QComboBox& combo(const char* name) const {
        for (QComboBox* c : dialog->findChildren<QComboBox*>())
            if (c->accessibleName() == QLatin1String(name)) return *c;
        qFatal("no combo box %s", name);
    }
    [[nodiscard]] QListWidget& members() const { return *dialog->findChild<QListWidget*>(); }
    [[nodiscard]] QPushButton& button(const char* words) const {
        for (QPushButton* b : dialog->findChildren<QPushButton*>())
            if (b->text().contains(QLatin1String(words))) return *b;
        qFatal("no button %s", words);
    }
    /// What the command writes of the same.
    QByteArray command(const QStringList& more) {
        QProcess run;
        QProcessEnvironment environment = QProcessEnvironment::systemEnvironment();
        environment.insert(QStringLiteral("SPANWRIGHT_SHEETS"), dir.path());
        environment.remove(QStringLiteral("DISPLAY"));
        environment.remove(QStringLiteral("QT_QPA_PLATFORM"));
        run.setProcessEnvironment(environment);
        run.start(QStringLiteral(SPANWRIGHT_COMMAND),
                  QStringList{QStringLiteral("report"), path("job.spanjob"), QStringLiteral("-o"), path("command.pdf")} + more);
        if (!run.waitForFinished(60'000)) return {};
        QFile file(path("command.pdf"));
        return file.open(QIODevice::ReadOnly) ? file.readAll() : QByteArray();
    }
    QByteArray window() {
        ready();
        QSignalSpy ended(&dialog->out(), &app::PaperOut::ended);
        if (!dialog->savePdf(path("window.pdf")) || !QTest::qWaitFor([&] { return ended.count() == 1; }, 60'000)) return {};
        QFile file(path("window.pdf"));
        return file.open(QIODevice::ReadOnly) ? file.readAll() : QByteArray();
    }
};

} // namespace

class PaperTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void theWindowAndTheCommandWriteTheSameFile() {
        Trial all(std::nullopt);
        const QByteArray bytes = all.window();
        QVERIFY(bytes.startsWith("%PDF-"));
        QCOMPARE(bytes, all.command({}));
        Trial one("S2");
        const QByteArray part = one.window();
        QVERIFY(part != bytes);
        QCOMPARE(part, one.command({QStringLiteral("--member"), QStringLiteral("S2")}));
        one.combo("How much of each member").setCurrentIndex(1);
        one.combo("Size of the paper").setCurrentIndex(1);
        QCOMPARE(one.window(),
                 one.command({QStringLiteral("-m"), QStringLiteral("S2"), QStringLiteral("--brief"), QStringLiteral("--size"), QStringLiteral("letter")}));
    }

    void theMemberAtHandIsChosenAndWithoutOneNothingIsWritten() {
        Trial t("P1");
        QCOMPARE(t.members().count(), 3);
        QCOMPARE(t.members().item(0)->checkState(), Qt::Unchecked);
        QCOMPARE(t.members().item(2)->checkState(), Qt::Checked);
        t.button("None").click();
        t.ready();
        QVERIFY(!t.dialog->book());
        QVERIFY(!t.button("Save").isEnabled());
        QVERIFY(!t.button("P&rint").isEnabled());
        QVERIFY(!t.dialog->savePdf(t.path("none.pdf")));
        QVERIFY(!QFile::exists(t.path("none.pdf")));
        t.button("All").click();
        t.ready();
        QVERIFY(t.dialog->book());
        QVERIFY(t.button("Save").isEnabled());
    }

    void theWorkshopIsPlannedAsideAndCanBeStopped() {
        Trial t(std::nullopt);
        std::atomic<bool> begun = false, stopped = false;
        PrintDialog dialog(t.session->otherCopy(), std::nullopt, t.path("job.pdf"), nullptr);
        // A plan that takes until it is told to stop.
        dialog.maker().setPlan([&](const job::Job&, const shop::WorkshopOptions& options) {
            begun = true;
            options.plan.progress("C24", 3);
            while (!options.plan.effort.cancelled()) QThread::msleep(1);
            stopped = true;
            return std::shared_ptr<const shop::Workshop>();
        });
        dialog.show();
        QVERIFY(QTest::qWaitForWindowExposed(&dialog));
        QPushButton *save = nullptr, *stop = nullptr;
        for (QPushButton* b : dialog.findChildren<QPushButton*>()) {
            if (b->text().contains(QStringLiteral("Save"))) save = b;
        }
        QVERIFY(save);
        // The pages are there meanwhile and can be turned; nothing is written.
        const auto isPlanning = [&] { return dialog.maker().stage() == app::PaperMaker::Stage::Plans; };
        QTRY_VERIFY(begun && dialog.pages().book() && isPlanning());
        for (QPushButton* b : dialog.findChildren<QPushButton*>())
            if (b->text().contains(QStringLiteral("best so far"))) stop = b;
        QVERIFY(stop && stop->isVisible());
        QVERIFY(!save->isEnabled());
        QTest::keyClick(&dialog.pages(), Qt::Key_PageDown);
        QCOMPARE(dialog.pages().page(), 2);
        const auto told = [&] {
            for (const QLabel* l : dialog.findChildren<QLabel*>())
                if (l->isVisible() && l->text().contains(QStringLiteral("C24: 3"))) return true;
            return false;
        };
        QTRY_VERIFY(told());
        stop->click();
        QTRY_VERIFY(!isPlanning());
        QVERIFY(stopped);
        QTRY_VERIFY(save->isEnabled());
        QVERIFY(!stop->isVisible());
        QVERIFY(dialog.book());
    }

    void whatFailsAndWhatIsPinnedIsInBothToo() {
        // What would make a member pass, and trials: both take their time, and both are printed.
        std::string job = shelf::kJob;
        job += "trial reach S1.L\n";
        const std::size_t at = job.find("L = ");
        QVERIFY(at != std::string::npos);
        job.replace(at, job.find('\n', at) - at, "L = 2.9 m");
        Trial all(std::nullopt, job);
        QVERIFY(all.dialog->maker().facts()->members[0].mends);
        QCOMPARE(all.dialog->maker().whole()->trials.size(), std::size_t{1});
        const QByteArray bytes = all.window();
        QVERIFY(bytes.startsWith("%PDF-"));
        QCOMPARE(bytes, all.command({}));
    }

    void editsGoOnWhileItIsReadSetAndWritten() {
        LibraryDesk d;
        // Reading waits for an edit in the window: on the window's own thread it would wait for ever.
        std::atomic<bool> edited = false;
        PrintDialog dialog(
            [&, open = d.window->session().otherCopy()](const std::shared_ptr<models::LoadState>& load) {
                while (!edited) QThread::msleep(1);
                return open(load);
            },
            std::nullopt, d.dir.filePath(QStringLiteral("job.pdf")), nullptr);
        // So does planning, for another one.
        std::atomic<int> edits = 0;
        dialog.maker().setPlan([&](const job::Job& job, const shop::WorkshopOptions& options) {
            while (edits < 2) QThread::msleep(1);
            return std::make_shared<const shop::Workshop>(shop::work(job, options));
        });
        for (QComboBox* c : dialog.findChildren<QComboBox*>())
            if (c->accessibleName() == QStringLiteral("Size of the paper")) c->setCurrentIndex(0);
        dialog.show();
        const auto edit = [&](const char* length) {
            QVERIFY(!d.window->session().setValue(*d.window->session().find("S1", "L"), QLatin1String(length)));
            d.window->session().finish();
            QVERIFY(d.shown("S1", "L").startsWith(QLatin1String(length).left(3)));
            ++edits;
        };
        edit("1.1 m");
        QVERIFY(!dialog.isReady());
        edited = true;
        QTRY_VERIFY(dialog.maker().stage() == app::PaperMaker::Stage::Plans);
        edit("1.3 m");
        QTRY_VERIFY_WITH_TIMEOUT(dialog.isReady(), 60'000);
        const QString path = d.dir.filePath(QStringLiteral("window.pdf"));
        QSignalSpy ended(&dialog.out(), &app::PaperOut::ended);
        QVERIFY(dialog.savePdf(path));
        // It is under way, and neither keys nor pages wait for it.
        QVERIFY(dialog.out().isRunning());
        QVERIFY(!dialog.savePdf(path));
        edit("1.2 m");
        for (int i = 0; i < 200 && ended.isEmpty(); ++i) {
            dialog.pages().showPage(1 + i % dialog.pages().book()->pageCount());
            dialog.pages().repaint();
            QCoreApplication::processEvents();
        }
        QTRY_COMPARE_WITH_TIMEOUT(ended.count(), 1, 60'000);
        // What was printed is the job as it stood when it was read, to the byte.
        QFile file(path);
        QVERIFY(file.open(QIODevice::ReadOnly));
        QProcess run;
        QProcessEnvironment environment = QProcessEnvironment::systemEnvironment();
        environment.insert(QStringLiteral("SPANWRIGHT_SHEETS"), d.library());
        run.setProcessEnvironment(environment);
        const QString other = d.dir.filePath(QStringLiteral("command.pdf"));
        run.start(QStringLiteral(SPANWRIGHT_COMMAND), {QStringLiteral("report"), d.job(), QStringLiteral("-o"), other});
        QVERIFY(run.waitForFinished(60'000));
        QFile theirs(other);
        QVERIFY(theirs.open(QIODevice::ReadOnly));
        QCOMPARE(file.readAll(), theirs.readAll());
    }

    void whatIsStoppedLeavesWhatWasThere() {
        Trial t(std::nullopt);
        const QString path = t.path("window.pdf");
        QFile old(path);
        QVERIFY(old.open(QIODevice::WriteOnly) && old.write("as it was") == 9);
        old.close();
        const QStringList before = QDir(t.dir.path()).entryList(QDir::AllEntries | QDir::Hidden);
        QSignalSpy ended(&t.dialog->out(), &app::PaperOut::ended);
        QVERIFY(t.dialog->savePdf(path));
        t.button("S&top").click();
        QTRY_COMPARE_WITH_TIMEOUT(ended.count(), 1, 60'000);
        QCOMPARE(ended[0][0].value<app::PaperOut::End>(), app::PaperOut::End::Stopped);
        QVERIFY(t.dialog->told().contains(QStringLiteral("was not written")));
        QVERIFY(old.open(QIODevice::ReadOnly));
        QCOMPARE(old.readAll(), QByteArray("as it was"));
        // "Printed" to a file it is the same.
        const auto printer = std::make_shared<QPrinter>(QPrinter::HighResolution);
        printer->setOutputFormat(QPrinter::PdfFormat);
        printer->setOutputFileName(path);
        QVERIFY(t.dialog->printTo(printer, 1, t.dialog->book()->pageCount()));
        t.dialog->out().stop();
        QTRY_COMPARE_WITH_TIMEOUT(ended.count(), 2, 60'000);
        QCOMPARE(ended[1][0].value<app::PaperOut::End>(), app::PaperOut::End::Stopped);
        QVERIFY(old.seek(0));
        QCOMPARE(old.readAll(), QByteArray("as it was"));
        QCOMPARE(QDir(t.dir.path()).entryList(QDir::AllEntries | QDir::Hidden), before);
        printer->setOutputFileName(path);
        QVERIFY(t.dialog->printTo(printer, 2, 3));
        QTRY_COMPARE_WITH_TIMEOUT(ended.count(), 3, 60'000);
        QCOMPARE(ended[2][0].value<app::PaperOut::End>(), app::PaperOut::End::Done);
        QFile now(path);
        QVERIFY(now.open(QIODevice::ReadOnly));
        QCOMPARE(now.readAll().count("/Type /Page\n"), 2);
        QCOMPARE(QDir(t.dir.path()).entryList(QDir::AllEntries | QDir::Hidden), before);
    }

    void closingAsksWhileItIsWrittenAndIsSafeAtAnyTime() {
        Trial t(std::nullopt);
        const QString path = t.path("window.pdf");
        const auto answer = [](const char* words) {
            QTimer::singleShot(0, [words] {
                if (auto* box = qobject_cast<QMessageBox*>(QApplication::activeModalWidget()))
                    for (QAbstractButton* b : box->buttons())
                        if (b->text().contains(QLatin1String(words))) b->click();
            });
        };
        QVERIFY(t.dialog->savePdf(path));
        answer("Go on");
        t.dialog->reject();
        QVERIFY(t.dialog->isVisible() || QFile::exists(path));
        QTRY_VERIFY_WITH_TIMEOUT(QFile::exists(path), 60'000);
        QTRY_VERIFY(!t.dialog->out().isRunning());
        QVERIFY(QFile::remove(path));
        QVERIFY(t.dialog->savePdf(path));
        t.dialog.reset(); // as when the window goes
        QVERIFY(!QFile::exists(path));
        // However far it is.
        for (int wait = 0; wait < 60; wait += 3) {
            auto dialog = std::make_unique<PrintDialog>(t.session->otherCopy(), std::nullopt, path, nullptr);
            dialog->show();
            QTest::qWait(wait);
            if (dialog->isReady()) QVERIFY(dialog->savePdf(path));
            dialog.reset();
            QCOMPARE(QDir(t.dir.path()).entryList({QStringLiteral("*.pdf"), QStringLiteral(".spanwright*")}, QDir::AllEntries | QDir::Hidden), QStringList());
        }
    }

    void itStandsBesideTheWindowAndSaysWhenTheJobHasGoneOn() {
        LibraryDesk d;
        d.run("print");
        PrintDialog* dialog = d.window->printDialog();
        QVERIFY(dialog && dialog->isVisible() && !dialog->isModal());
        QTRY_VERIFY_WITH_TIMEOUT(dialog->isReady(), 60'000);
        const std::string before = dialog->maker().facts()->fingerprint;
        const auto anew = [&] {
            for (QPushButton* b : dialog->findChildren<QPushButton*>())
                if (b->text().contains(QStringLiteral("a&new"))) return b;
            qFatal("no button");
        };
        QVERIFY(!anew()->isVisible());
        QVERIFY(!d.window->session().setValue(*d.window->session().find("S1", "L"), QStringLiteral("1.15 m")));
        d.window->session().finish();
        QVERIFY(anew()->isVisible());
        d.run("undo");
        QVERIFY(!anew()->isVisible());
        d.run("redo");
        QVERIFY(anew()->isVisible());
        QCOMPARE(dialog->maker().facts()->fingerprint, before);
        anew()->click();
        QTRY_VERIFY_WITH_TIMEOUT(dialog->isReady(), 60'000);
        QVERIFY(!anew()->isVisible());
        QVERIFY(dialog->maker().facts()->fingerprint != before);
        // Ctrl+P once more: the same dialog, as the job stands.
        d.run("undo");
        d.run("print");
        QCOMPARE(d.window->printDialog(), dialog);
        QTRY_VERIFY_WITH_TIMEOUT(dialog->isReady() && dialog->maker().facts()->fingerprint == before, 60'000);
        // A sheet that another program changed is in the job once it is read anew: no text of the job itself need differ.
        std::string sheet = shelf::kSheet;
        sheet.replace(sheet.find("200 mm"), 6, "190 mm");
        d.put(QStringLiteral("lib/shelf.spansheet"), sheet);
        QVERIFY(d.window->openFile(d.job()));
        QVERIFY(anew()->isVisible());
        anew()->click();
        QTRY_VERIFY_WITH_TIMEOUT(dialog->isReady(), 60'000);
        QVERIFY(dialog->maker().facts()->fingerprint != before);
        QVERIFY(!anew()->isVisible());
        d.window->close();
        QVERIFY(!d.window->printDialog());
    }

    void pricesThatAnotherProgramChangesMakeItOld() {
        LibraryDesk d(std::string(shelf::kJob) + "prices prices.csv\nstock   soft = soft, 30 mm by 200 mm by 3 m\n");
        d.put(QStringLiteral("prices.csv"), "item [text], price [text]\nsoft, 4 EUR/m\n");
        d.run("print");
        PrintDialog* dialog = d.window->printDialog();
        QVERIFY(dialog != nullptr);
        QTRY_VERIFY_WITH_TIMEOUT(dialog->isReady(), 60'000);
        const auto anew = [&] {
            for (QPushButton* b : dialog->findChildren<QPushButton*>())
                if (b->text().contains(QStringLiteral("a&new"))) return b;
            qFatal("no button");
        };
        QVERIFY(!anew()->isVisible());
        d.put(QStringLiteral("prices.csv"), "item [text], price [text]\nsoft, 5 EUR/m\n");
        QTRY_VERIFY_WITH_TIMEOUT(anew()->isVisible(), 20'000);
        anew()->click();
        QTRY_VERIFY_WITH_TIMEOUT(dialog->isReady(), 60'000);
        QVERIFY(!anew()->isVisible());
        QVERIFY(!d.window->isWindowModified());
    }

    void pagesAreTurnedByKeyAndShownAsTheyArePrinted() {
        Trial t(std::nullopt);
        PaperView& view = t.dialog->pages();
        QTRY_VERIFY(view.book() && view.book()->pageCount() >= 4);
        view.setFocus();
        QCOMPARE(view.page(), 1);
        QTest::keyClick(&view, Qt::Key_PageDown);
        QCOMPARE(view.page(), 2);
        QVERIFY(view.accessibleDescription().contains(QStringLiteral("page 2 of")));
        QTest::keyClick(&view, Qt::Key_End);
        QCOMPARE(view.page(), view.book()->pageCount());
        QTest::keyClick(&view, Qt::Key_Home);
        QCOMPARE(view.page(), 1);
        const qreal before = view.zoom();
        QTest::keyClick(&view, Qt::Key_Plus);
        QVERIFY(view.zoom() > before);
        // Paper is white and has ink on it.
        const QImage image = view.grab().toImage();
        int white = 0, dark = 0;
        for (int y = 0; y < image.height(); y += 2)
            for (int x = 0; x < image.width(); x += 2) {
                const int grey = qGray(image.pixel(x, y));
                white += grey > 250 ? 1 : 0;
                dark += grey < 90 ? 1 : 0;
            }
        QVERIFY(white > 1000);
        QVERIFY(dark > 50);
    }
};

SPANWRIGHT_QT_TEST(PaperTest);
#include "paper_test.moc"
