# What is installed, and the Debian package of it: `cmake --build build --target package_files && cpack --config
# build/CPackConfig.cmake`. The program says itself how shells complete it and what its manual page holds.
include(GNUInstallDirs)
set(made ${PROJECT_BINARY_DIR}/package)
set(package_files)
foreach(one bash zsh man)
  add_custom_command(
    OUTPUT ${made}/${one}
    COMMAND ${CMAKE_COMMAND} -E make_directory ${made}
    COMMAND budwood completion ${one} > ${made}/${one}
    DEPENDS budwood
    VERBATIM)
  list(APPEND package_files ${made}/${one})
endforeach()
add_custom_target(package_files ALL DEPENDS ${package_files})

install(TARGETS budwood RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR})
install(DIRECTORY protocols/ DESTINATION ${CMAKE_INSTALL_DATADIR}/budwood/protocols FILES_MATCHING PATTERN "*.bud")
install(DIRECTORY grammar/ DESTINATION ${CMAKE_INSTALL_DOCDIR} FILES_MATCHING PATTERN "*.md")
install(DIRECTORY examples/quarry_lane DESTINATION ${CMAKE_INSTALL_DOCDIR}/examples
  FILES_MATCHING PATTERN "*.bud" PATTERN "*.yaml")
install(FILES LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR} RENAME copyright)
# The ANTLR runtime is part of the program, and its licence asks for its notice.
install(FILES /usr/share/doc/libantlr4-runtime-dev/copyright DESTINATION ${CMAKE_INSTALL_DOCDIR}
  RENAME copyright.antlr4 OPTIONAL)
install(FILES ${made}/bash DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions RENAME budwood)
install(FILES ${made}/zsh DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/vendor-completions RENAME _budwood)
install(FILES ${made}/man DESTINATION ${CMAKE_INSTALL_MANDIR}/man1 RENAME budwood.1)
install(FILES grammar/colours/budwood.vim DESTINATION ${CMAKE_INSTALL_DATADIR}/vim/vimfiles/syntax)

install(FILES ${CMAKE_CURRENT_LIST_DIR}/budwood@.service DESTINATION lib/systemd/system)

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME budwood)
set(CPACK_PACKAGE_VENDOR Budwood)
set(CPACK_PACKAGE_CONTACT "The Budwood founders <budwood@localhost>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "Dated work orders from written propagation methods")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
include(CPack)
