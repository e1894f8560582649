# Writes the files of a directory into one C file as the table of server/statics.h, so that the program reads no
# file to show its pages.
#   cmake -DSOURCE=static -DOUTPUT=static_pages.c -P server/embed.cmake
# index.html becomes "/" and "/desk", x.html becomes "/x", any other file keeps its name. Files of other kinds than the ones
# below (notes, tool settings) and files whose name begins with a dot are left out.
cmake_minimum_required(VERSION 3.18)

set(type_html "text/html; charset=utf-8")
set(type_css "text/css; charset=utf-8")
set(type_js "text/javascript; charset=utf-8")
set(type_mjs "text/javascript; charset=utf-8")
set(type_json "application/json")
set(type_svg "image/svg+xml")
set(type_png "image/png")
set(type_ico "image/x-icon")
set(type_webp "image/webp")
set(type_woff2 "font/woff2")
set(type_txt "text/plain; charset=utf-8")
set(type_webmanifest "application/manifest+json")

file(GLOB_RECURSE names RELATIVE "${SOURCE}" LIST_DIRECTORIES false "${SOURCE}/*")
list(SORT names)

set(arrays "")
set(rows "")
set(number 0)
foreach(name IN LISTS names)
	string(REGEX MATCH "[^./]+$" extension "${name}")
	if(name MATCHES "(^|/)\\." OR NOT DEFINED "type_${extension}")
		continue()
	endif()
	if(NOT name MATCHES "^[A-Za-z0-9._/-]+$")
		message(FATAL_ERROR "${name}: a page's name may have letters, digits and . _ - alone")
	endif()
	string(REGEX REPLACE "(^|/)index\\.html$" "\\1" path "/${name}")
	string(REGEX REPLACE "\\.html$" "" path "${path}")
	file(READ "${SOURCE}/${name}" hex HEX)
	string(LENGTH "${hex}" length)
	math(EXPR length "${length} / 2")
	string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${hex}")
	string(REGEX REPLACE "(................................................................................)" "\\1\n" bytes "${bytes}")
	# the NUL at the end is not counted; it keeps an empty file's array from having no member
	string(APPEND arrays "static const unsigned char page_${number}[] = {\n${bytes}0};\n")
	string(APPEND rows "\t{\"${path}\", \"${type_${extension}}\", page_${number}, ${length}},\n")
	if(path STREQUAL "/") # the same page, which goes by its own address
		string(APPEND rows "\t{\"/desk\", \"${type_${extension}}\", page_${number}, ${length}},\n")
	endif()
	math(EXPR number "${number} + 1")
endforeach()
if(number EQUAL 0)
	message(FATAL_ERROR "${SOURCE}: no page to compile in")
endif()

file(WRITE "${OUTPUT}.new" "/* Written by server/embed.cmake. */\n#include \"statics.h\"\n\n${arrays}\n")
file(APPEND "${OUTPUT}.new" "const struct static_page static_pages[] = {\n${rows}};\nconst size_t n_static_pages = sizeof static_pages / sizeof static_pages[0];\n")
file(RENAME "${OUTPUT}.new" "${OUTPUT}")
