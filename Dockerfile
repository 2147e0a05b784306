# One image for web, worker and beat; docker-compose.yml gives each its command.
FROM python:3.12-slim-bookworm

RUN apt-get update \
 && apt-get install -y --no-install-recommends \
      libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0 postgresql-client \
 && rm -rf /var/lib/apt/lists/*

ENV PYTHONUNBUFFERED=1 PIP_NO_CACHE_DIR=1 DRYBY_NO_VENV=1 DRYBY_HOME=/data
WORKDIR /dryby
COPY requirements.txt .
RUN pip install --only-binary :all: -r requirements.txt
COPY . .

RUN useradd --system --uid 1000 baker && mkdir /data && chown baker /data
USER baker
VOLUME /data
EXPOSE 8020
CMD ["python", "manage.py", "open", "--web-only"]
