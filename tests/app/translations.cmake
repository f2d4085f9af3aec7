# Each text with a number in it has its English forms, and none is kept that nobody shows any more.
set(copy ${WORK}/discal_en.ts)
file(COPY_FILE ${SOURCE}/assets/translations/discal_en.ts ${copy})
execute_process(
    COMMAND ${LUPDATE} -silent -pluralonly -locations none -I ${SOURCE}/src -source-language en -target-language en
        ${SOURCE}/src/viewmodels ${SOURCE}/src/app ${SOURCE}/qml -ts ${copy}
    RESULT_VARIABLE result ERROR_VARIABLE said)
if(NOT result EQUAL 0)
    message(FATAL_ERROR "lupdate failed: ${said}")
endif()
file(STRINGS ${copy} odd REGEX "type=\"(unfinished|vanished|obsolete)\"")
if(odd)
    message(FATAL_ERROR "assets/translations/discal_en.ts is behind its sources; see DEVELOPERS.md, How to add a text.")
endif()
