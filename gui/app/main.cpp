// SPDX-License-Identifier: MIT
#include <QApplication>
#include <QCommandLineParser>
#include <QIcon>
#include <QStandardPaths>

#include "engine/base/large_pages.h"
#include "engine/cli/run.h"
#include "gui/app/desk_window.h"
#include "gui/models/text.h"
#include "gui/views/paper_style.h"

int main(int argc, char** argv) {
    spanwright::base::useLargePages();
    QApplication app(argc, argv);
    QApplication::setOrganizationName(QStringLiteral("spanwright"));
    QApplication::setApplicationName(QStringLiteral("spanwright-desk"));
    QApplication::setApplicationDisplayName(QStringLiteral("Spanwright"));
    QGuiApplication::setDesktopFileName(QStringLiteral("spanwright-desk"));
    QApplication::setWindowIcon(QIcon(QStringLiteral(":/spanwright/spanwright.svg")));
    QApplication::setStyle(new spanwright::views::PaperStyle);

    QCommandLineParser parser;
    parser.setApplicationDescription(QApplication::translate("main", "The window in which a job of timber members is filled in, audited and adapted."));
    parser.addHelpOption();
    parser.addPositionalArgument(QStringLiteral("FILE"), QApplication::translate("main", "a job (*.spanjob) or a sheet (*.spansheet)"),
                                 QStringLiteral("[FILE]"));
    const QCommandLineOption sheets(QStringLiteral("sheets"), QApplication::translate("main", "folder of the ready sheets"), QStringLiteral("FOLDER"));
    parser.addOption(sheets);
    parser.process(app);

    const QString named = parser.isSet(sheets) ? parser.value(sheets) : qEnvironmentVariable("SPANWRIGHT_SHEETS");
    const std::string library =
        spanwright::cli::findLibrary(spanwright::models::toUtf8(named), spanwright::models::toUtf8(QApplication::applicationFilePath()));
    const QString journal = QStandardPaths::writableLocation(QStandardPaths::AppDataLocation) + QStringLiteral("/journal");
    spanwright::app::DeskWindow window(spanwright::models::fromUtf8(library), journal);
    if (!parser.positionalArguments().isEmpty()) window.openSoon(parser.positionalArguments().first());
    window.show();
    return QApplication::exec();
}
