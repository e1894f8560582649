"""Checks of what cannot be run on a machine without a container engine or a cluster.

  manifests.py kubernetes FILE VERSION   against the API models of Debian's python3-kubernetes, and our own rules
  manifests.py containerfile FILE SOURCE  the instructions, and that what they copy is there
  manifests.py healthcheck FILE          prints the health check's command, a line for each argument
  manifests.py bill FILE                 a CycloneDX bill of materials: shape, hashes, and the three libraries

The models are those of Kubernetes 1.22: they know every field that the manifest uses, but for the version word of the
autoscaler, which had the same fields as v2beta2 then. They cannot tell whether a cluster admits the objects, has a
metrics server, or can pull the image; the Containerfile is not built.
"""
import hashlib
import json
import os
import re
import shlex
import sys

MODELS = {("apps/v1", "Deployment"): "V1Deployment", ("v1", "Service"): "V1Service",
          ("autoscaling/v2", "HorizontalPodAutoscaler"): "V2beta2HorizontalPodAutoscaler",
          ("policy/v1", "PodDisruptionBudget"): "V1PodDisruptionBudget",
          ("networking.k8s.io/v1", "NetworkPolicy"): "V1NetworkPolicy"}
SCALARS = {"str": str, "int": int, "bool": bool}

faults = []


def check(holds, what):
    if not holds:
        faults.append(what)


# ---- kubernetes ----

def match_model(client, value, kind, where):
    """Every field known, of its type, and every required one there."""
    if inner := re.fullmatch(r"list\[(.*)\]", kind):
        check(isinstance(value, list), f"{where} is no list")
        for i, item in enumerate(value if isinstance(value, list) else []):
            match_model(client, item, inner[1], f"{where}[{i}]")
    elif inner := re.fullmatch(r"dict\(str, (.*)\)", kind):
        check(isinstance(value, dict), f"{where} is no map")
        for key, item in (value if isinstance(value, dict) else {}).items():
            match_model(client, item, inner[1], f"{where}.{key}")
    elif kind in SCALARS:
        check(type(value) is SCALARS[kind], f"{where} is {value!r}, no {kind}")
    elif kind == "object":  # a port by number or name, or the like
        check(isinstance(value, (str, int)), f"{where} is neither text nor number")
    else:
        match_object(client, value, getattr(client, kind), where)


def match_object(client, value, model, where):
    if not isinstance(value, dict):
        faults.append(f"{where} is no object")
        return
    names = {json_name: name for name, json_name in model.attribute_map.items()}
    read = {}
    for key, item in value.items():
        if key not in names:
            faults.append(f"{where}.{key} is unknown")
            continue
        match_model(client, item, model.openapi_types[names[key]], f"{where}.{key}")
        read[names[key]] = item
    try:
        model(**read, local_vars_configuration=client.Configuration())  # it refuses what lacks a required field
    except ValueError as fault:
        faults.append(f"{where}: {fault}")


def pod_rules(deployment, version):
    pod = deployment["spec"]["template"]["spec"]
    container, = pod["containers"]
    args = container["args"]
    secure, own = pod["securityContext"], container["securityContext"]
    check(secure["runAsNonRoot"] and secure["runAsUser"] > 0 and secure["runAsGroup"] > 0, "runs as root")
    check(secure["seccompProfile"]["type"] == "RuntimeDefault", "no seccomp profile")
    check(own["readOnlyRootFilesystem"] and not own["allowPrivilegeEscalation"], "may write or gain rights")
    check(own["capabilities"] == {"drop": ["ALL"]}, "keeps capabilities")
    check(not pod["automountServiceAccountToken"], "is given a token of the cluster")
    check(container["image"].endswith(f":{version}"), f"the image is not of version {version}")
    check({"cpu", "memory"} <= set(container["resources"]["limits"]), "has no limits")
    check({"cpu", "memory"} <= set(container["resources"]["requests"]), "has no requests, so it cannot be scaled")
    for probe, path in (("startupProbe", "/readyz"), ("readinessProbe", "/readyz"), ("livenessProbe", "/healthz")):
        check(container[probe]["httpGet"] == {"path": path, "port": "admin"}, f"{probe} does not ask {path}")
    ports = {port["name"]: port["containerPort"] for port in container["ports"]}
    for option, name in (("--listen", "http"), ("--admin-listen", "admin")):
        check(args[args.index(option) + 1].endswith(f":{ports[name]}"), f"{option} is not the port {name}")
    delay_s = int(args[args.index("--drain-delay") + 1])
    check(pod["terminationGracePeriodSeconds"] >= delay_s + 10 + 5, "is killed before its drain can end")
    check({m["name"] for m in container["volumeMounts"]} == {v["name"] for v in pod["volumes"]}, "mounts do not match")
    return ports


def kubernetes(path, version):
    import yaml
    from kubernetes import client
    with open(path, encoding="utf-8") as file:
        objects = list(yaml.safe_load_all(file))
    by_kind = {item["kind"]: item for item in objects}
    check(len(by_kind) == len(objects) == len(MODELS), f"not the objects that were meant: {sorted(by_kind)}")
    for item in objects:
        model = MODELS.get((item["apiVersion"], item["kind"]))
        check(model is not None, f'{item["apiVersion"]} {item["kind"]} is not expected')
        if model is not None:
            match_object(client, item, getattr(client, model), item["kind"])
    if faults:
        return
    deployment = by_kind["Deployment"]
    name = deployment["metadata"]["name"]
    labels = deployment["spec"]["template"]["metadata"]["labels"]
    ports = pod_rules(deployment, version)
    check("replicas" not in deployment["spec"], "the Deployment and the autoscaler both set the number of copies")
    selectors = {
        "Deployment": deployment["spec"]["selector"]["matchLabels"],
        "Service": by_kind["Service"]["spec"]["selector"],
        "PodDisruptionBudget": by_kind["PodDisruptionBudget"]["spec"]["selector"]["matchLabels"],
        "NetworkPolicy": by_kind["NetworkPolicy"]["spec"]["podSelector"]["matchLabels"]}
    for kind, selector in selectors.items():
        check(selector and selector.items() <= labels.items(), f"{kind} does not select the pods")
    target = by_kind["HorizontalPodAutoscaler"]["spec"]["scaleTargetRef"]
    check(target == {"apiVersion": "apps/v1", "kind": "Deployment", "name": name}, "the autoscaler scales something else")
    check(by_kind["HorizontalPodAutoscaler"]["spec"]["minReplicas"] >= 2, "one copy is no copy while it is replaced")
    named = [port["targetPort"] for port in by_kind["Service"]["spec"]["ports"]]
    named += [port["port"] for rule in by_kind["NetworkPolicy"]["spec"]["ingress"] for port in rule["ports"]]
    check(set(named) <= set(ports), f"unknown ports among {named}")


# ---- containerfile ----

def instructions(path):
    with open(path, encoding="utf-8") as file:
        text = re.sub(r"^[ \t]*#.*\n", "", file.read(), flags=re.M).replace("\\\n", " ")
    return [tuple(line.split(None, 1)) for line in text.splitlines() if line.strip()]


def exec_form(text):
    words = json.loads(text)
    check(isinstance(words, list) and all(isinstance(word, str) for word in words), f"{text} is not in exec form")
    return words


def last(steps, word):
    found = [rest for name, rest in steps if name == word]
    check(found, f"no {word}")
    return found[-1] if found else ""


def copies(steps, source, stages):
    for name, rest in steps:
        if name != "COPY":
            continue
        words = shlex.split(rest)
        if words[0].startswith("--from="):
            check(words[0].removeprefix("--from=") in stages, f"{words[0]} names no stage")
            continue
        for word in words[:-1]:
            check(os.path.exists(f"{source}/{word}"), f"COPY {word}: the project has no such file")


def containerfile(path, source):
    steps = instructions(path)
    known = {"FROM", "RUN", "COPY", "LABEL", "USER", "WORKDIR", "EXPOSE", "STOPSIGNAL", "HEALTHCHECK", "ENTRYPOINT", "CMD"}
    check({name for name, _ in steps} <= known, f"unexpected instructions: {({n for n, _ in steps} - known)}")
    stages = [match[1] for name, rest in steps if name == "FROM" and (match := re.search(r" AS (\S+)$", rest))]
    copies(steps, source, stages)
    for name, rest in steps:
        check(name != "FROM" or re.match(r"\S+:12(-slim)?( AS \S+)?$", rest), f"FROM {rest} is not Debian 12")
        if name == "RUN" and "apt-get install" in rest:
            check("apt-get update" in rest and "rm -rf /var/lib/apt/lists" in rest, "an apt-get without update or tidying")
    final = steps[max(i for i, (name, _) in enumerate(steps) if name == "FROM"):]
    check(re.fullmatch(r"[1-9]\d*:[1-9]\d*", last(final, "USER")), "USER is not a number other than root's")
    check(exec_form(last(final, "ENTRYPOINT")) == ["/usr/bin/pondwright"], "ENTRYPOINT is not the program")
    command = exec_form(last(final, "CMD"))
    check(command[0] == "serve" and command[-1].endswith(":" + last(final, "EXPOSE")), "CMD does not serve on EXPOSE's port")
    check(last(final, "STOPSIGNAL") == "SIGTERM", "it is not told to drain")
    check(health_of(path) == ["/usr/bin/pondwright", "ready", "--listen", command[-1]], "health is not asked where it listens")


def health_of(path):
    return exec_form(re.sub(r"^(--\S+\s+)*CMD\s+", "", last(instructions(path), "HEALTHCHECK")))


# ---- bill of materials ----

def bill(path):
    with open(path, encoding="utf-8") as file:
        bom = json.load(file)
    check(bom["bomFormat"] == "CycloneDX" and bom["specVersion"] == "1.5" and bom["version"] == 1, "not CycloneDX 1.5")
    check(re.fullmatch(r"urn:uuid:[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}", bom["serialNumber"]), "no serial number")
    refs = {component["bom-ref"] for component in bom["components"]}
    needs = {row["ref"]: row["dependsOn"] for row in bom["dependencies"]}
    direct = {ref.split(":")[0] for ref in needs["pondwright"]}
    check({"libc6", "libjansson4", "libmicrohttpd12", "libnettle8"} <= direct, f"direct dependencies are {sorted(direct)}")
    check(set(needs) == refs | {"pondwright"}, "not every component has its dependencies")
    check(all(set(wanted) <= refs for wanted in needs.values()), "a dependency is no component")
    for component in bom["components"]:
        check(component["purl"].startswith("pkg:deb/debian/") and component["version"], f"{component['name']}: no purl")
        check(component["components"], f"{component['name']} has no file")
        for part in component["components"]:
            with open(part["name"], "rb") as file:
                digest = hashlib.sha256(file.read()).hexdigest()
            check(part["hashes"] == [{"alg": "SHA-256", "content": digest}], f"{part['name']}: another hash")


def healthcheck(path):
    print("\n".join(health_of(path)))


{"kubernetes": kubernetes, "containerfile": containerfile, "healthcheck": healthcheck, "bill": bill}[sys.argv[1]](*sys.argv[2:])
if faults:
    sys.exit("\n".join(faults))
