import QtQuick
import QtQuick.Layouts
import Discal

// The sheet drawn as printed, to pick the tag that is on the paper.
Item {
    id: root

    required property TagPageModel tag
    required property SheetPageModel sheet
    // The question is what the paper says: nothing is marked as next
    required property bool isCheck
    signal back
    signal open(string page, string what)

    // Not in the tag that was tapped: it goes when the sheet is drawn anew
    function take(code: string) {
        if (root.isCheck)
            root.tag.answer(code);
        else
            root.tag.pick(code);
        root.back();
    }

    Component.onCompleted: {
        root.sheet.show(root.tag.letters + " " + root.tag.digits, !root.isCheck);
        grid.positionViewAtBeginning();
    }

    GridView {
        id: grid
        readonly property int fit: Math.max(1, Math.floor((width - leftMargin - rightMargin + 8) / 68))
        readonly property int inRow: root.sheet.columns(fit)

        anchors.fill: parent
        anchors.bottomMargin: foot.height
        leftMargin: Math.max(12, (width - Theme.widest) / 2)
        rightMargin: leftMargin - 8
        topMargin: Theme.margin + 8
        bottomMargin: Theme.gap
        cellWidth: (width - leftMargin - rightMargin) / inRow
        cellHeight: Math.max(Theme.keyHeight, Math.min(Theme.headSize, 34) + 34) + 8
        model: root.sheet
        clip: true
        // As printed, in every language; what is said over it is not
        LayoutMirroring.enabled: false
        boundsBehavior: Flickable.StopAtBounds
        // Qt 6.4 can't make a bound header, so its ids are looked up when it is made.
        // qmllint disable unqualified
        header: ColumnLayout {
            width: grid.width - grid.leftMargin - grid.rightMargin - 8
            spacing: Theme.gap
            LayoutMirroring.enabled: root.LayoutMirroring.enabled
            LayoutMirroring.childrenInherit: true

            PageHead {
                title: root.isCheck ? qsTr("Which tag is it?") : root.sheet.name
                note: root.isCheck ? root.sheet.name : root.sheet.note
                hasBack: true
                Layout.fillWidth: true
                onBack: root.back()
            }
            Flow {
                visible: root.sheet.names.length > 1
                spacing: 8
                Layout.fillWidth: true

                Repeater {
                    model: root.sheet.names

                    CodeKey {
                        required property int index
                        required property string modelData
                        text: modelData
                        most: Theme.smallSize
                        isChosen: modelData === root.sheet.name
                        width: Math.min(implicitWidth, parent.width)
                        onClicked: root.sheet.turnTo(index)
                    }
                }
            }
            Item {
                implicitHeight: 1
            }
        }
        delegate: Item {
            id: cell
            required property string code
            required property string letters
            required property string digits
            required property string mark
            required property string fate
            required property bool isPickable

            width: grid.cellWidth
            height: grid.cellHeight

            SheetTag {
                code: cell.code
                letters: cell.letters
                digits: cell.digits
                mark: cell.mark
                fate: cell.fate
                isPickable: cell.isPickable
                picksAny: root.isCheck
                width: cell.width - 8
                height: cell.height - 8
                onClicked: root.take(cell.code)
            }
        }
    }
    Item {
        id: foot
        width: Math.min(root.width - 2 * Theme.margin, Theme.widest)
        height: digits.height + Theme.gap + Theme.margin + 4
        anchors.horizontalCenter: parent.horizontalCenter
        anchors.bottom: parent.bottom

        Key {
            id: digits
            text: qsTr("type the last digits")
            width: parent.width
            y: Theme.gap
            onClicked: root.open("digits", root.isCheck ? "check" : "")
        }
    }
}
