# The Debian package: cpack -G DEB in a build folder. Included by the top CMakeLists.txt.
# Its files are a component of their own that an ordinary `cmake --install` leaves out, since in a package the
# configuration belongs in /etc and pages are compressed.

set(package_folder "${PROJECT_BINARY_DIR}/package")
set(package_sources "${PROJECT_SOURCE_DIR}/deploy")

# package_gzip(SOURCE NAME): a compressed copy without time or name, so that it is the same bytes every time.
function(package_gzip source name)
	set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS "${source}")
	execute_process(COMMAND gzip -9nc "${source}" OUTPUT_FILE "${package_folder}/${name}.gz"
		COMMAND_ERROR_IS_FATAL ANY)
endfunction()

file(MAKE_DIRECTORY "${package_folder}")
package_gzip("${package_sources}/pondwright.1" pondwright.1)
package_gzip("${package_sources}/debian/changelog" changelog.Debian)

# Every file of config/ is the administrator's from then on: dpkg asks before it replaces a changed one.
file(GLOB_RECURSE conffiles CONFIGURE_DEPENDS RELATIVE "${PROJECT_SOURCE_DIR}/config"
	"${PROJECT_SOURCE_DIR}/config/*.json")
list(TRANSFORM conffiles PREPEND "/etc/pondwright/")
list(JOIN conffiles "\n" conffiles)
file(CONFIGURE OUTPUT "${package_folder}/conffiles" CONTENT "${conffiles}\n")

# package_install(DESTINATION FILE...) from the root of the file system
function(package_install destination)
	install(FILES ${ARGN} DESTINATION "${destination}" COMPONENT debian EXCLUDE_FROM_ALL)
endfunction()

install(TARGETS pondwright RUNTIME DESTINATION usr/bin COMPONENT debian EXCLUDE_FROM_ALL)
install(DIRECTORY config/ DESTINATION etc/pondwright COMPONENT debian EXCLUDE_FROM_ALL
	FILE_PERMISSIONS OWNER_READ OWNER_WRITE GROUP_READ WORLD_READ
	FILES_MATCHING PATTERN *.json)
package_install(usr/share/man/man1 "${package_folder}/pondwright.1.gz")
package_install(usr/lib/systemd/system deploy/systemd/pondwright.service deploy/systemd/pondwright.socket)
package_install(usr/lib/systemd/system/pondwright.service.d deploy/systemd/pondwright.service.d/10-socket.conf)
install(FILES deploy/debian/sysusers.conf DESTINATION usr/lib/sysusers.d RENAME pondwright.conf
	COMPONENT debian EXCLUDE_FROM_ALL)
package_install(usr/share/doc/pondwright deploy/debian/copyright "${package_folder}/changelog.Debian.gz"
	deploy/README.md deploy/THREATS.md)
install(FILES config/README.md DESTINATION usr/share/doc/pondwright RENAME configuration.md
	COMPONENT debian EXCLUDE_FROM_ALL)
package_install(usr/share/doc/pondwright/examples deploy/nginx/pondwright.conf)

set(CPACK_GENERATOR DEB)
set(CPACK_INSTALL_CMAKE_PROJECTS "${PROJECT_BINARY_DIR};${PROJECT_NAME};debian;/")
set(CPACK_PACKAGING_INSTALL_PREFIX "/")
set(CPACK_STRIP_FILES ON)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS
	OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)

set(CPACK_PACKAGE_NAME pondwright)
set(CPACK_PACKAGE_CONTACT "The pondwright authors <pondwright@example.com>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "quotes for garden pond work over HTTP")
set(CPACK_DEBIAN_PACKAGE_DESCRIPTION
"An HTTP service that answers an enquiry about a pond (with or without a
stream, new or a rebuild) with what an estimator would work out: the take-off,
the bill, pump and pipe, programme, warnings, and how sure the price is.

It keeps no data. Prices, materials and rules are JSON files in
/etc/pondwright; those that come with the package are invented.")
set(CPACK_DEBIAN_PACKAGE_RELEASE 1)
set(CPACK_DEBIAN_PACKAGE_SECTION web)
set(CPACK_DEBIAN_PACKAGE_PRIORITY optional)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_DEPENDS
	"init-system-helpers (>= 1.54~), systemd | systemd-standalone-sysusers | systemd-sysusers")
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION TRUE)
set(CPACK_DEBIAN_PACKAGE_CONTROL_EXTRA
	"${package_folder}/conffiles"
	"${package_sources}/debian/postinst"
	"${package_sources}/debian/prerm"
	"${package_sources}/debian/postrm")
include(CPack)
