#!/usr/bin/env bash
# Packs out/package/copperglass-VERSION-linux-ARCH.tar.gz and, where dpkg-deb
# is, a .deb beside it. The same commit and the same tools give the same bytes.
set -euo pipefail
cd "$(dirname "$0")/../../.."
umask 022
export LC_ALL=C

here=cmd/copperglass/packaging
out=out/package
arch=$(go env GOARCH)
stage=$out/stage
SOURCE_DATE_EPOCH=${SOURCE_DATE_EPOCH:-$(git log -1 --format=%ct)}
export SOURCE_DATE_EPOCH

# build makes both programs; Go writes the version that it sees in git into them.
build() {
	go build -trimpath -ldflags='-s -w' -o "$1/copperglass" ./cmd/copperglass
	CGO_ENABLED=0 go build -trimpath -ldflags='-s -w' -o "$1/copperprint" ./cmd/copperprint
}

version() { go version -m "$1" | awk '$1 == "mod" { sub(/^v/, "", $3); print $3 }'; }

# pictures draws the icon in the sizes of the Icon Theme Specification's hicolor.
pictures() {
	install -Dm644 assets/icon.svg "$1/scalable/apps/copperglass.svg"
	for size in 16 22 24 32 48 64 128 256; do
		mkdir -p "$1/${size}x$size/apps"
		rsvg-convert -w $size -h $size assets/icon.svg -o "$1/${size}x$size/apps/copperglass.png"
	done
}

# licences collects those of all that is linked into the programs.
licences() {
	install -Dm644 "$(go env GOROOT)/LICENSE" "$1/go/LICENSE"
	install -Dm644 assets/fonts/OFL.txt "$1/fonts/OFL.txt"
	go version -m "$2/copperglass" "$2/copperprint" | awk '$1 == "dep" { print $2 "@" $3 }' | sort -u | while read -r module; do
		folder=$(go list -m -f '{{.Dir}}' "${module%@*}")
		found=$(cd "$folder" && find . -iname 'licen[cs]e*' -type f -o -iname 'copying*' -type f -o -iname 'notice*' -type f | grep -v testdata | sort)
		test -n "$found" || { echo "no licence in $module" >&2; exit 1; }
		for file in $found; do install -Dm644 "$folder/$file" "$1/${module%@*}/$file"; done
	done
}

# share lays out what goes beside the programs.
share() {
	install -Dm644 $here/copperglass.desktop "$1/applications/copperglass.desktop"
	install -Dm644 $here/copperglass.xml "$1/mime/packages/copperglass.xml"
	pictures "$1/icons/hicolor"
	install -Dm644 README.md "$1/doc/copperglass/README.md"
	install -Dm644 assets/readme/window.png "$1/doc/copperglass/assets/readme/window.png"
	install -Dm644 LICENSE "$1/doc/copperglass/copyright"
	licences "$1/doc/copperglass/licences" "$2"
}

tarball() {
	install -m644 $here/README.txt "$stage/$name/README.txt"
	tar --sort=name --mtime="@$SOURCE_DATE_EPOCH" --owner=0 --group=0 --numeric-owner -C $stage -cf - "$name" | gzip -n -9 > "$out/$name.tar.gz"
	echo "wrote $out/$name.tar.gz"
}

# What the window library opens by name while it starts, beside what the program
# is linked with, which dpkg-shlibdeps finds.
opened='libxcursor1, libxi6, libxinerama1, libxrandr2, libxrender1, libxxf86vm1'

deb() {
	local root=$stage/deb
	mkdir -p $root/DEBIAN $root/usr $stage/debian
	cp -r "$stage/$name/bin" "$stage/$name/share" $root/usr/
	printf 'Source: copperglass\n\nPackage: copperglass\nArchitecture: any\n' > $stage/debian/control
	linked=$(cd $stage && dpkg-shlibdeps -O deb/usr/bin/copperglass 2>/dev/null | sed 's/^shlibs:Depends=//')
	cat > $root/DEBIAN/control <<-END
		Package: copperglass
		Version: ${version//-/\~}
		Section: electronics
		Priority: optional
		Architecture: $arch
		Maintainer: the authors of Copperglass <copperglass@localhost>
		Installed-Size: $(du -sk --apparent-size $root/usr | cut -f1)
		Depends: $linked, $opened
		Recommends: shared-mime-info, desktop-file-utils, xclip | wl-clipboard
		Description: draw a traced circuit and see its volts and amps
		 For who traces small battery-powered boards by eye: draw the circuit, see
		 voltages, currents and working states on the drawing, ask what sets them,
		 and export a picture. With copperprint for the command line.
	END
	local file=copperglass_${version//-/\~}_$arch.deb
	dpkg-deb --root-owner-group --build $root "$out/$file" >/dev/null
	echo "wrote $out/$file"
}

rm -rf $stage
mkdir -p $stage
build $stage
version=$(version $stage/copperglass)
test -n "$version" -a "$version" != '(devel)' || { echo 'the version is not known: build in a checkout of git' >&2; exit 1; }
name=copperglass-$version-linux-$arch
install -Dm755 -t "$stage/$name/bin" $stage/copperglass $stage/copperprint
share "$stage/$name/share" "$stage/$name/bin"
tarball
if command -v dpkg-deb >/dev/null; then deb; fi
rm -rf $stage
