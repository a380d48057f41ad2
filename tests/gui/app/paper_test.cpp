// SPDX-License-Identifier: MIT
// The calculation on paper, on a real window: chosen, previewed, written, and the same bytes as the command's.
#include <QComboBox>
#include <QFile>
#include <QLabel>
#include <QListWidget>
#include <QProcess>
#include <QPushButton>
#include <QScrollBar>
#include <QSettings>
#include <QTemporaryDir>
#include <QTest>

#include "engine/io/files.h"
#include "engine/report/build.h"
#include "gui/app/paper_view.h"
#include "gui/app/print_dialog.h"
#include "tests/gui/shelf_job.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using app::PaperView;
using app::PrintDialog;

namespace {

struct Trial {
    QTemporaryDir dir;
    std::unique_ptr<models::JobSession> session;
    std::unique_ptr<PrintDialog> dialog;

    explicit Trial(std::optional<std::size_t> member) {
        io::Disk disk;
        for (const auto& [name, text] :
             {std::pair{"job.spanjob", shelf::kJob}, std::pair{"shelf.spansheet", shelf::kSheet}, std::pair{"post.spansheet", shelf::kOther}})
            QVERIFY(disk.write(path(name).toStdString(), text).ok());
        session = std::make_unique<models::JobSession>(dir.path());
        session->open(path("job.spanjob"));
        report::Want want;
        want.rows = want.workings = true;
        dialog = std::make_unique<PrintDialog>(report::gather(session->job(), want), member, path("job.pdf"), nullptr);
        dialog->setWorkshop([this](const auto&) { return std::make_shared<const shop::Workshop>(shop::work(session->job())); });
        // Whatever the machine's locale wants by default.
        combo("Size of the paper").setCurrentIndex(0);
        dialog->show();
        QVERIFY(QTest::qWaitForWindowExposed(dialog.get()));
        QVERIFY(dialog->book());
    }
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
        if (!dialog->savePdf(path("window.pdf"))) return {};
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
        Trial one(1);
        const QByteArray part = one.window();
        QVERIFY(part != bytes);
        QCOMPARE(part, one.command({QStringLiteral("--member"), QStringLiteral("S2")}));
        one.combo("How much of each member").setCurrentIndex(1);
        one.combo("Size of the paper").setCurrentIndex(1);
        QCOMPARE(one.window(),
                 one.command({QStringLiteral("-m"), QStringLiteral("S2"), QStringLiteral("--brief"), QStringLiteral("--size"), QStringLiteral("letter")}));
    }

    void theMemberAtHandIsChosenAndWithoutOneNothingIsWritten() {
        Trial t(2);
        QCOMPARE(t.members().count(), 3);
        QCOMPARE(t.members().item(0)->checkState(), Qt::Unchecked);
        QCOMPARE(t.members().item(2)->checkState(), Qt::Checked);
        t.button("None").click();
        QVERIFY(!t.dialog->book());
        QVERIFY(!t.button("Save").isEnabled());
        QVERIFY(!t.button("P&rint").isEnabled());
        QVERIFY(!t.dialog->savePdf(t.path("none.pdf")));
        QVERIFY(!QFile::exists(t.path("none.pdf")));
        t.button("All").click();
        QVERIFY(t.dialog->book());
        QVERIFY(t.button("Save").isEnabled());
    }

    void theWorkshopIsPlannedAsideAndCanBeStopped() {
        Trial t(std::nullopt);
        std::atomic<bool> begun = false, stopped = false;
        PrintDialog dialog(report::gather(t.session->job(),
                                          [] {
                                              report::Want want;
                                              want.rows = want.workings = true;
                                              return want;
                                          }()),
                           std::nullopt, t.path("job.pdf"), nullptr);
        // A plan that takes until it is told to stop.
        dialog.setWorkshop([&](const std::shared_ptr<PrintDialog::Planning>& planning) {
            begun = true;
            planning->tell(QStringLiteral("C24"), 3);
            while (!planning->stop) QThread::msleep(1);
            stopped = true;
            return std::shared_ptr<const shop::Workshop>();
        });
        dialog.show();
        QVERIFY(QTest::qWaitForWindowExposed(&dialog));
        QPushButton *save = nullptr, *stop = nullptr;
        for (QPushButton* b : dialog.findChildren<QPushButton*>()) {
            if (b->text().contains(QStringLiteral("Save"))) save = b;
            if (b->text().contains(QStringLiteral("best so far"))) stop = b;
        }
        QVERIFY(save && stop);
        // The pages are there meanwhile and can be turned; nothing is written.
        QTRY_VERIFY(begun && dialog.pages().book() && dialog.isPlanning() && stop->isVisible());
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
        QTRY_VERIFY(!dialog.isPlanning());
        QVERIFY(stopped);
        QTRY_VERIFY(save->isEnabled());
        QVERIFY(!stop->isVisible());
        QVERIFY(dialog.book());
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
